// Wires: whether they bear the current and the fuse ahead of them, and what the loop drops.

import type { CircuitStyle, Parts, WireClass } from '../profile/index.js';
import { amount, formsNow, temperature, wireSize } from '../tell/index.js';
import type { Carried } from './carried.js';
import {
  gaugeWires,
  loopDropV,
  metricWires,
  smallestWire,
  type WireNeed,
  type WireSize,
  wireCapacityA,
} from './conductors.js';
import { bearingOf, demandOf, marginOf } from './demand.js';
import type { FusesOfBuild } from './rate-fuses.js';
import type { Bearing, Build, PlannedPart, RatingRow } from './rating-row.js';
import { asSuggested, smallestConnector } from './suggest.js';

/** A wire carries the motor if at least this part of its current is in it: coils take some hundredths. */
const MOTOR_PART = 0.5;

export interface PlannedWires {
  parts: readonly PlannedPart[];
  style: CircuitStyle;
  /** Running. */
  motorA: number;
}

/** Wires of one size that carry the same kind of current are one row. */
export function wireRows(
  { parts, style, motorA }: PlannedWires,
  build: Build,
  fuses: FusesOfBuild,
): RatingRow[] {
  const wires = parts.filter(({ carrier }) => carrier.kind === 'wire');
  const groups = new Map<string, { size: Sold; isMotor: boolean; wires: PlannedPart[] }>();
  for (const wire of wires) {
    const size = asSold(sizeOf(style, wire.carrier.part, build.wire), build.parts);
    const isMotor = wire.demand.most.runningA >= MOTOR_PART * motorA;
    const key = `${isMotor} ${size.areaMm2} ${size.awg}`;
    const group = groups.get(key) ?? { size, isMotor, wires: [] };
    groups.set(key, { ...group, wires: [...group.wires, wire] });
  }
  return [...groups.values()]
    .sort((one, other) => Number(other.isMotor) - Number(one.isMotor))
    .flatMap(({ size, isMotor, wires: same }) => {
      const fuseA = isMotor ? fuses.feedA : fuses.coilA;
      return rowsOf({ size, isMotor, fuseA }, demandOf(same), build);
    });
}

function sizeOf({ elements }: CircuitStyle, part: string, usual: WireSize): WireSize {
  const wire = elements.find(({ id }) => id === part);
  if (wire?.kind !== 'wire' || (wire.areaMm2 === undefined && wire.awg === undefined)) {
    return usual.awg === undefined ? { areaMm2: usual.areaMm2 } : { awg: usual.awg };
  }
  return wire.awg === undefined ? { areaMm2: wire.areaMm2 } : { awg: wire.awg };
}

/** A size with what the list of parts says of it. */
type Sold = WireSize & Partial<Pick<WireClass, 'title' | 'source'>>;

/** By its own sheet, where a wire of that size has one. */
const asSold = (size: WireSize, { wires }: Parts): Sold =>
  wires.findLast(
    ({ areaMm2, awg, carryA, resistanceOhmPerM }) =>
      areaMm2 === size.areaMm2 &&
      awg === size.awg &&
      (carryA !== undefined || resistanceOhmPerM !== undefined),
  ) ?? size;

interface Group {
  size: Sold;
  isMotor: boolean;
  fuseA: number | undefined;
}

function rowsOf({ size, isMotor, fuseA }: Group, demand: RatingRow['demand'], build: Build): RatingRow[] {
  const { lengthM } = build.wire;
  const { runningA } = demand.most;
  const capacity = wireCapacityA(size);
  const mostDropV = (build.dropPercent / 100) * build.nominalVoltageV;
  const loop = { lengthM, temperatureC: build.ambientC };
  const carriesA = Math.max(runningA, fuseA ?? 0);
  const need: WireNeed = { ...loop, currentA: runningA, carriesA, mostDropV };
  const title = `${isMotor ? 'motor wires' : 'coil wires'}, ${wireSize(size)}`;
  const heat = bearingOf(capacity, demand.least.runningA, runningA);
  const guarded = fuseA === undefined || fuseA <= capacity;
  const terminal = smallestConnector(build.parts.connectors, carriesA);
  const heated: RatingRow = {
    kind: 'wire',
    title,
    demand,
    rated: capacity,
    isDeclared: true,
    capacity,
    marginPercent: marginOf(capacity, runningA),
    bearing: guarded ? heat : 'does-not-bear',
    rule: 'carries more than the motor draws, and no less than the fuse ahead of it',
    source:
      size.carryA === undefined
        ? 'published table of chassis wiring, the size at or below this one'
        : `${size.title}: ${size.source}`,
    ...smallestOf({ ...need, mostDropV: Number.POSITIVE_INFINITY }, build.parts),
    ...(terminal === undefined ? {} : { terminal: asSuggested(terminal) }),
    notes: guarded ? [] : [`the fuse of ${fuseA} A does not protect it: it carries ${capacity} A.`],
  };
  if (!isMotor) return [heated];
  const dropped = (carried: Carried): Carried => ({
    runningA: loopDropV(size, loop, carried.runningA),
    startA: loopDropV(size, loop, carried.startA),
    heldA: loopDropV(size, loop, carried.heldA),
    brakeA: loopDropV(size, loop, carried.brakeA),
    reversalA: loopDropV(size, loop, carried.reversalA),
  });
  const volts = { least: dropped(demand.least), most: dropped(demand.most) };
  const bearing: Bearing =
    volts.most.runningA <= mostDropV
      ? 'bears'
      : volts.least.runningA > mostDropV
        ? 'does-not-bear'
        : 'not-known';
  return [
    heated,
    {
      kind: 'wire-drop',
      title: `drop over 2 × ${amount(lengthM, 'm', 1)}`,
      demand: volts,
      rated: mostDropV,
      isDeclared: true,
      capacity: mostDropV,
      marginPercent: marginOf(mostDropV, volts.most.runningA),
      bearing,
      rule: `at most ${build.dropPercent} % of ${build.nominalVoltageV} V while the motor runs, copper at ${temperature(build.ambientC)}`,
      source:
        size.resistanceOhmPerM === undefined
          ? 'common practice, as published wiring pages have it; resistance of IEC 60228 class 5, or of the thinnest wire sold by AWG'
          : `common practice, as published wiring pages have it; resistance of ${size.title}: ${size.source}`,
      ...smallestOf(need, build.parts),
      notes: [],
    },
  ];
}

/** Thinnest in either measure, or in the one that is settled. */
function smallestOf(need: WireNeed, { wires }: Parts): Pick<RatingRow, 'needs' | 'suggested'> {
  const { wire } = formsNow();
  const measures = [
    ...(wire === 'AWG' ? [] : [metricWires(wires)]),
    ...(wire === 'mm2' ? [] : [gaugeWires(wires)]),
  ];
  const found = measures.flatMap((sizes) => smallestWire(sizes, need) ?? []);
  if (found.length > 0) return { needs: found.map(wireSize).join(' or '), suggested: found.map(asSuggested) };
  return {
    needs: `thicker than ${measures
      .flatMap((sizes) => sizes.slice(-1))
      .map(wireSize)
      .join(' or ')}`,
  };
}
