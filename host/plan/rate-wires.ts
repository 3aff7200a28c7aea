// Wires: whether they bear the current and the fuse ahead of them, and what the loop drops.

import type { CircuitStyle, Parts, WireClass } from '../profile/index.js';
import { amount, formsNow, temperature, wireSize } from '../tell/index.js';
import { type Carried, MOTOR_PART } from './carried.js';
import {
  gaugeWires,
  metricWires,
  smallestWire,
  type WireNeed,
  type WireSize,
  wireCapacityA,
  wireOhmPerM,
} from './conductors.js';
import { bearingOf, demandOf, marginOf } from './demand.js';
import type { FusesOfBuild } from './rate-fuses.js';
import type { Bearing, Build, PlannedPart, RatingRow } from './rating-row.js';
import { asSuggested, smallestConnector } from './suggest.js';

export interface PlannedWires {
  parts: readonly PlannedPart[];
  style: CircuitStyle;
  /** Running. */
  motorA: number;
  /** Of each throw, the wires on the motor's way. */
  loops: readonly (readonly string[])[];
  /** They do not let through what the motor runs at. */
  isTooThin: boolean;
}

/** Wires of one size that carry the same kind of current are one row. */
export function wireRows(planned: PlannedWires, build: Build, fuses: FusesOfBuild): RatingRow[] {
  const { parts, style, motorA } = planned;
  const wires = parts.filter(({ carrier }) => carrier.kind === 'wire');
  const groups = new Map<string, { size: Sold; isMotor: boolean; wires: PlannedPart[] }>();
  for (const wire of wires) {
    const size = asSold(sizeOf(style, wire.carrier.part, build.wire), build.parts);
    const isMotor = wire.demand.most.runningA >= MOTOR_PART * motorA;
    const key = `${isMotor} ${size.areaMm2} ${size.awg}`;
    const group = groups.get(key) ?? { size, isMotor, wires: [] };
    groups.set(key, { ...group, wires: [...group.wires, wire] });
  }
  const rowsOf = (motor: boolean): RatingRow[] =>
    [...groups.values()]
      .filter(({ isMotor }) => isMotor === motor)
      .map(({ size, isMotor, wires: same }) => {
        const fuseA = isMotor ? fuses.feedA : fuses.coilA;
        const ids = same.map(({ carrier }) => carrier.part);
        return heatRow({ size, isMotor, fuseA, ids }, demandOf(same), build);
      });
  const motors = [...groups.values()].flatMap(({ isMotor, wires: same }) => (isMotor ? same : []));
  const demand = demandOf(motors);
  const carriesA = Math.max(demand.most.runningA, fuses.feedA ?? 0);
  return [...rowsOf(true), ...dropRows(planned, demand, build, carriesA), ...rowsOf(false)];
}

const usualSize = ({ areaMm2, awg }: WireSize): WireSize => (awg === undefined ? { areaMm2 } : { awg });

/** As the style states it; undefined where it takes that of the build. */
const ownSize = ({ areaMm2, awg }: WireSize): WireSize | undefined =>
  areaMm2 === undefined && awg === undefined ? undefined : usualSize({ areaMm2, awg });

function sizeOf({ elements }: CircuitStyle, part: string, usual: WireSize): WireSize {
  const wire = elements.find(({ id }) => id === part);
  return (wire?.kind === 'wire' ? ownSize(wire) : undefined) ?? usualSize(usual);
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
  /** Of the wires. */
  ids: string[];
}

function heatRow({ size, isMotor, fuseA, ids }: Group, demand: RatingRow['demand'], build: Build): RatingRow {
  const { runningA } = demand.most;
  const capacity = wireCapacityA(size);
  const carriesA = Math.max(runningA, fuseA ?? 0);
  const heat = bearingOf(capacity, demand.least.runningA, runningA);
  const guarded = fuseA === undefined || fuseA <= capacity;
  const terminal = smallestConnector(build.parts.connectors, carriesA);
  return {
    kind: 'wire',
    title: `${isMotor ? 'motor wires' : 'coil wires'}, ${wireSize(size)}`,
    of: ids,
    demand,
    rated: capacity,
    isDeclared: true,
    capacity,
    marginPercent: marginOf(capacity, runningA),
    bearing: !guarded ? 'does-not-bear' : heat === 'bears' && isTooHot(size, build) ? 'not-known' : heat,
    rule: `carries more than ${isMotor ? 'the motor draws' : 'the coils draw'}, and no less than the fuse ahead of it`,
    source:
      size.carryA === undefined
        ? 'published table of chassis wiring, the size at or below this one'
        : `${size.title}: ${size.source}`,
    ...smallestOf(
      { wireM: 0, temperatureC: build.ambientC, currentA: runningA, carriesA, mostDropV: Infinity },
      build.parts,
    ),
    ...(terminal === undefined ? {} : { terminal: asSuggested(terminal) }),
    notes: [
      ...(guarded ? [] : [`the fuse of ${fuseA} A does not protect it: it carries ${capacity} A.`]),
      ...warmNote(size, build),
    ],
  };
}

/** Up to where a warm place is nothing special to a wire. Common practice, no source. */
const WARM_C = 40;
/** Most that the usual insulation of vehicle wire is made for: class A of ISO 6722, value from memory. */
const MOST_C = 85;
const isTooHot = ({ carryA }: Sold, { ambientC }: Build): boolean =>
  carryA === undefined && ambientC > MOST_C;

/** The table of chassis wiring says neither for which ambient it is, nor how many wires lie beside each other. */
function warmNote(size: Sold, build: Build): string[] {
  const { ambientC } = build;
  if (size.carryA !== undefined || ambientC <= WARM_C) return [];
  if (isTooHot(size, build))
    return [
      `usual wire of vehicles is made for ${temperature(MOST_C)} at the most: at ${temperature(ambientC)} its own sheet must say what it carries.`,
    ];
  return [
    `the table tells no ambient: at ${temperature(ambientC)}, or in a bundle of loaded wires, it carries less than ${capacityTold(size)}.`,
  ];
}
const capacityTold = (size: Sold): string => amount(wireCapacityA(size), 'A', 0);

/** The wires that the motor's current runs through one after the other: metres of each size. */
interface Way {
  size: Sold;
  lengthM: number;
  /** The style states it itself, so that no other size is taken for it. */
  isFixed: boolean;
}

function wayOf(loop: readonly string[], { elements }: CircuitStyle, build: Build): Way[] {
  return loop.flatMap((id) => {
    const wire = elements.find((element) => element.id === id);
    if (wire?.kind !== 'wire') return [];
    const own = ownSize(wire);
    return [
      {
        size: asSold(own ?? usualSize(build.wire), build.parts),
        lengthM: wire.lengthM ?? build.wire.lengthM,
        isFixed: own !== undefined,
      },
    ];
  });
}

/** What is dropped out and back, over every wire on the harder way: as the wiring sheet has them laid. */
function dropRows(
  { style, loops, isTooThin }: PlannedWires,
  demand: RatingRow['demand'],
  build: Build,
  carriesA: number,
): RatingRow[] {
  const temperatureC = build.ambientC;
  const ohmOf = (way: readonly Way[]): number =>
    way.reduce((sum, { size, lengthM }) => sum + lengthM * wireOhmPerM(size, temperatureC), 0);
  const ways = loops.map((loop) => wayOf(loop, style, build)).sort((one, other) => ohmOf(other) - ohmOf(one));
  const [way = []] = ways;
  if (way.length === 0) return [];
  const ohm = ohmOf(way);
  const metres = (parts: readonly Way[]): number => parts.reduce((sum, { lengthM }) => sum + lengthM, 0);
  // No braking: that current takes another way.
  const dropped = ({ runningA, startA, heldA, reversalA }: Carried): Carried => ({
    ...{ runningA: ohm * runningA, startA: ohm * startA, heldA: ohm * heldA },
    ...{ brakeA: 0, reversalA: ohm * reversalA },
  });
  const volts = { least: dropped(demand.least), most: dropped(demand.most) };
  const mostDropV = (build.dropPercent / 100) * build.nominalVoltageV;
  const { runningA } = demand.most;
  const free = way.filter(({ isFixed }) => !isFixed);
  const fixedOhm = free.length === 0 ? 0 : ohmOf(way.filter(({ isFixed }) => isFixed));
  const need: WireNeed = {
    ...{ wireM: metres(free.length === 0 ? way : free), temperatureC },
    ...{ currentA: runningA, carriesA, mostDropV: mostDropV - fixedOhm * runningA },
  };
  const bearing: Bearing =
    volts.most.runningA <= mostDropV
      ? 'bears'
      : volts.least.runningA > mostDropV
        ? 'does-not-bear'
        : 'not-known';
  const own = way.find(({ size }) => size.resistanceOhmPerM !== undefined)?.size;
  const common = 'common practice, as published wiring pages have it';
  return [
    {
      kind: 'wire-drop',
      title: `drop over ${amount(metres(way), 'm', 1)} of wire`,
      of: [],
      demand: volts,
      rated: mostDropV,
      isDeclared: true,
      capacity: mostDropV,
      marginPercent: marginOf(mostDropV, volts.most.runningA),
      bearing,
      rule: `at most ${build.dropPercent} % of ${build.nominalVoltageV} V while the motor runs, over every wire on the way out and back, copper at ${temperature(build.ambientC)}`,
      source:
        own === undefined
          ? `${common}; resistance of IEC 60228 class 5, or of the thinnest wire sold by AWG`
          : `${common}; resistance of ${own.title}: ${own.source}`,
      ...smallestOf(need, build.parts),
      notes: isTooThin
        ? [
            `so thin and so long a wire does not let ${amount(runningA, 'A', 1)} through at all: the other parts are reckoned as if it did.`,
          ]
        : [],
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
    needs: `wire thicker than ${measures
      .flatMap((sizes) => sizes.slice(-1))
      .map(wireSize)
      .join(' or ')}`,
  };
}
