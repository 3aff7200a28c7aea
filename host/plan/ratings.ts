// Each part of a build: what it carries, what it is rated for, whether it bears that, by which rule. What each carries is
// solved from the circuit (carried.ts); the rules stand in the file of their part.

import type { UnitCircuitInput } from '../circuit/index.js';
import { systemOf } from '../profile/index.js';
import type { CarrierKind } from './ammeters.js';
import { onPullingRelays } from './build-supply.js';
import { type Carried, carriedBy, letsThrough, type MotorCurrents, type PlannedLoad } from './carried.js';
import type { CurrentOrigin, PlannedCurrents } from './currents.js';
import { relayRows, switchRows } from './rate-contacts.js';
import { type FusesOfBuild, fuseRows, fusesOf } from './rate-fuses.js';
import { partsFor, type VoltageRow, voltageRows } from './rate-voltage.js';
import { wireRows } from './rate-wires.js';
import type { Build, PlannedPart, RatingRow } from './rating-row.js';

export interface Ratings {
  /** All motors together, at the least and at the most. */
  motor: { least: PlannedLoad['motor']; most: PlannedLoad['motor'] };
  fuses: FusesOfBuild;
  rows: RatingRow[];
  /** What is made for another voltage than the build's; none where all fits. */
  voltages: VoltageRow[];
  /** Most that a part takes when it is thrown over without a pause. */
  reversalA: number;
}

/**
 * @param input of the unit, at the supply and ambient of the build
 * @param on motors in parallel on the same switch or relay contacts; relay pairs, each with motors and a feed fuse of its
 * own, whose coils share the small switch and its fuse
 * @throws RangeError when the circuit cannot let so much current through
 */
export function ratingsOf(
  input: UnitCircuitInput,
  currents: PlannedCurrents,
  declared: Build,
  { motors = 1, pairs = 1 }: { motors?: number; pairs?: number } = {},
): Ratings {
  const systemV = systemOf(input.supply.voltageV);
  const build = { ...declared, systemV, parts: partsFor(declared.parts, systemV) };
  const at = (end: 'least' | 'most') =>
    carriedThrough(onPullingRelays(input), {
      runningA: motors * currents.running[end],
      startA: currents.start === undefined ? undefined : motors * currents.start[end],
      heldA: motors * currents.held[end],
      motors: TOLD.has(currents.held.origin) ? undefined : motors,
    });
  const most = at('most');
  const least = isExact(currents) ? most : at('least');
  const parts = most.parts.map(({ carrier, carried }, i): PlannedPart => {
    const times = SHARED.has(carrier.kind) ? pairs : 1;
    return {
      carrier,
      demand: {
        least: timesOf(least.parts[i]?.carried ?? carried, times),
        most: timesOf(carried, times),
      },
    };
  });
  const fuses = fusesOf(parts, build);
  const rows = [
    ...switchRows(parts, build),
    ...relayRows(parts, build),
    ...fuseRows(parts, build),
    ...wireRows(
      {
        ...{ parts, style: input.style, motorA: most.motor.runningA, loops: most.loops },
        isTooThin: most.isTooThin,
      },
      build,
      fuses,
    ),
  ];
  return {
    motor: { least: least.motor, most: most.motor },
    fuses,
    rows,
    voltages: voltageRows(input, build, TOLD.has(currents.running.origin) && TOLD.has(currents.held.origin)),
    reversalA: Math.max(...parts.map(({ demand }) => demand.most.reversalA)),
  };
}

/** More than any wire of a vehicle: nothing is lost in it. */
const THICK_MM2 = 120;

/** The same on wires that drop nothing worth telling, as long as they are. */
function onThickWires(input: UnitCircuitInput): UnitCircuitInput {
  const elements = input.style.elements.map((element) => {
    if (element.kind !== 'wire') return element;
    const { awg: _awg, ...wire } = element;
    return { ...wire, areaMm2: THICK_MM2 };
  });
  const wiring = { lengthM: input.wiring.lengthM, areaMm2: THICK_MM2 };
  return { ...input, style: { ...input.style, elements }, wiring };
}

/** Where the wires are what does not let the motor run, the rest is solved as if they did: what they lack is their own row. */
function carriedThrough(input: UnitCircuitInput, load: MotorCurrents): PlannedLoad & { isTooThin: boolean } {
  try {
    return { ...carriedBy(input, load), isTooThin: false };
  } catch (error) {
    if (!(error instanceof RangeError) || letsThrough(input, load.runningA)) throw error;
    const thick = onThickWires(input);
    if (!letsThrough(thick, load.runningA)) throw error;
    return { ...carriedBy(thick, load), isTooThin: true };
  }
}

/** By somebody who knew: taken as it is, or refused. */
const TOLD: ReadonlySet<CurrentOrigin> = new Set<CurrentOrigin>(['declared', 'measured']);
/** What several relay pairs have in common. */
const SHARED: ReadonlySet<CarrierKind> = new Set<CarrierKind>(['small-switch', 'coil-feed']);

/** Coils side by side on one supply draw as many times the current. */
const timesOf = ({ runningA, startA, heldA, brakeA, reversalA }: Carried, times: number): Carried => ({
  ...{ runningA: times * runningA, startA: times * startA, heldA: times * heldA },
  ...{ brakeA: times * brakeA, reversalA: times * reversalA },
});

const isExact = ({ running, start, held }: PlannedCurrents): boolean =>
  [running, held, ...(start === undefined ? [] : [start])].every(({ least, most }) => least === most);
