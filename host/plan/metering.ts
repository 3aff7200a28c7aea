// Finding the wrong wire with a hand meter before any power: the causes that such a meter can tell from a good unit, and the
// readings that part them, as a probing. Nothing is right until every one of them has been ruled out.

import type { Fault } from '../circuit/index.js';
import { nothingWrong, weighed } from '../diagnose/index.js';
import {
  type BenchOf,
  displayed,
  type Expected,
  meterUncertainty,
  type Probe,
  type Probing,
  startProbing,
} from '../probe/index.js';
import type { ResolvedUnit } from '../profile/index.js';
import { lampReadings } from './lamp-states.js';
import { isSeen, meterChecks, metersFaults, type Shows, showsOf } from './meter-checks.js';
import { type Build, type MeterReading, meterReadings, nominalBuild } from './meter-states.js';

export interface Metering {
  way: MeterWay;
  probing: Probing;
  /** By the probe's id, what a good unit shows. */
  good: ReadonlyMap<string, { reading: MeterReading; shows: Shows }>;
  /** Not to be seen this way, or not at every strength. */
  unseen: readonly Fault[];
  /** Of the fewest readings that prove a unit right. */
  provingCount: number;
}

/** `ohms`: a hand meter alone, nothing fed; `lamp`: volts, fed through a lamp. */
export type MeterWay = 'ohms' | 'lamp';

/** Of a hand's time. Common practice, no source. */
const READING_MIN = 0.3;
/** Before anything was measured, of none of the list. Choice of this program, no source. */
const UNLISTED = 0.03;
/** Of a pair that is joined, a hand meter cannot tell by how many hundredths of an ohm. */
const JOINT_FLOOR_OHM = 0.1;

export const readingsOf = (unit: ResolvedUnit, way: MeterWay, build?: Build): MeterReading[] =>
  way === 'lamp' ? lampReadings(unit, build) : meterReadings(unit, build ?? nominalBuild(unit));

export const probeIdOf = ({ range, id }: MeterReading): string => `${range}-${id.replaceAll(' ', '-')}`;

/** @returns undefined where the unit has nothing that can be measured that way. */
export function startMetering(unit: ResolvedUnit, way: MeterWay = 'ohms'): Metering | undefined {
  const readings = readingsOf(unit, way);
  const { checks, unseen } = meterChecks(unit, readings);
  if (checks.length === 0) return undefined;
  const hidden = new Set(unseen);
  const faults = metersFaults(unit);
  const seen = faults.filter((fault) => !hidden.has(fault));
  const telling = distinct(readings, seen);
  const shown = seen.map((fault) => asShown(fault, telling));
  const half = seen.filter((fault, i) => fault.comesInDegrees || shown[i]?.ways.length !== fault.ways.length);
  const causes = [nothingWrong, ...shown.map(weighed)];
  const total = causes.reduce((sum, { prior }) => sum + prior, 0);
  return {
    way,
    probing: startProbing({
      ...{ unit, feed: 'limited', unlisted: UNLISTED, proves: true, menu: telling.map(probeOf) },
      causes: causes.map((cause) => ({ cause, weight: cause.prior / total, isNamed: true })),
    }),
    good: new Map(
      telling.map((reading) => [probeIdOf(reading), { reading, shows: showsOf(reading, reading.shown([])) }]),
    ),
    unseen: faults.filter((fault) => hidden.has(fault) || half.includes(fault)),
    provingCount: checks.length,
  };
}

/** As far as some reading shows it: its slighter ways and degrees, which none does, leave a unit right for this meter. */
function asShown(fault: Fault, readings: readonly MeterReading[]): Fault {
  const ways = fault.ways.filter((edits) =>
    readings.some((reading) => isSeen(reading, [{ ...fault, edits }])),
  );
  return { ...fault, ways, comesInDegrees: false };
}

/** Of readings that tell the same the easiest; those that tell nothing are left out. */
function distinct(readings: readonly MeterReading[], faults: readonly Fault[]): MeterReading[] {
  const told = new Set<string>();
  return readings.filter((reading) => {
    const seen = faults.map((fault) => isSeen(reading, [fault]));
    if (!seen.includes(true)) return false;
    const all = [[], ...faults.map((fault) => [fault])].map((present) =>
      String(displayed(reading.range, reading.shown(present))),
    );
    const key = `${reading.range} ${reading.spread} ${all.join(' ')}`;
    if (told.has(key)) return false;
    told.add(key);
    return true;
  });
}

/** `87 of K1 to ground`, `diode range, plus on A of the motor plug, minus on B of the motor plug`. */
export const tipsOf = ({ range, from, to }: MeterReading): string =>
  range === 'diode'
    ? `diode range, plus on ${from.words}, minus on ${to.words}`
    : `${from.words} to ${to.words}`;

function probeOf(reading: MeterReading): Probe {
  const { range, state, spread, floor } = reading;
  const known = new WeakMap<BenchOf, Expected>();
  return {
    id: probeIdOf(reading),
    does: 'meter',
    where: [],
    state: range === 'volts' ? 'thrown' : 'unplugged',
    setup: state,
    costMin: READING_MIN,
    takes: { kind: 'number', range },
    leavesOpen: { part: spread / 2, floor: Math.max(floor / 2, range === 'ohms' ? JOINT_FLOOR_OHM : 0) },
    words: tipsOf(reading),
    expect: ({ bench }) => {
      const before = known.get(bench);
      if (before !== undefined) return before;
      const now = { value: displayed(range, reading.shown(bench.circuits.present)) };
      known.set(bench, now);
      return now;
    },
  };
}

/** Whether a meter that shows this says for certain that something is wrong. */
export function isWrong(
  { reading: { range }, shows }: { reading: MeterReading; shows: Shows },
  value: number,
): boolean {
  const isOpen = !Number.isFinite(value);
  if (isOpen || !Number.isFinite(shows.most)) return isOpen === Number.isFinite(shows.most);
  const slack = 2 * meterUncertainty(range, value);
  return value + slack < shows.least || value - slack > shows.most;
}
