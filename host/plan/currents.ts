// The three currents that a build is reckoned with: running, at the start, held. Measured, declared, or what is known of
// the motor's kind; what is only known as a range stays one, and so does what follows from it.

import { familyOf, MOST_RUNNING_PART } from '../circuit/index.js';
import { keyOf, runStretch } from '../measure/index.js';
import { type MotorProfile, plainValues, type ResolvedUnit } from '../profile/index.js';

export interface Range {
  least: number;
  most: number;
}
/** Where a current comes from, from the best kind to the least. */
export type CurrentOrigin = 'declared' | 'measured' | 'profile' | 'family';

export interface PlannedCurrent extends Range {
  origin: CurrentOrigin;
}
export interface PlannedCurrents {
  running: PlannedCurrent;
  /** Absent where it follows from the circuit. */
  start?: PlannedCurrent;
  held: PlannedCurrent;
  /** What motors of its kind usually run at, where it was told to run at more. */
  usual?: Range;
}

export interface DeclaredCurrents {
  runningA?: number | undefined;
  startA?: number | undefined;
  heldA?: number | undefined;
}

/** Readings of a run by their keys, as a record keeps them. */
export type KeptReadings = Readonly<
  Record<string, { value: number; expandedUncertainty: number; atLeast?: boolean | undefined }>
>;

/** More throws than any plan has. */
const MOST_THROWS = 50;
const OPTIONS = { runningCurrentA: 'running', inrushPeakA: 'start', heldRotorCurrentA: 'held' } as const;
type Told = keyof typeof OPTIONS;

const keysOf = (what: Told): string[] =>
  (['forward', 'reverse'] as const).flatMap((way) =>
    Array.from({ length: MOST_THROWS }, (_, i) => keyOf(what, runStretch('full', way, { nth: i + 1 }))),
  );

/** Whether a run measured any current that a build is reckoned with. */
export const hasCurrents = (kept: KeptReadings): boolean =>
  (Object.keys(OPTIONS) as Told[]).some((what) => keysOf(what).some((key) => kept[key] !== undefined));

/** The largest of all full throws with its uncertainty; undefined where it was not measured. @throws RangeError */
function measured(kept: KeptReadings, what: Told): PlannedCurrent | undefined {
  const found = (['forward', 'reverse'] as const).flatMap((way) =>
    Array.from({ length: MOST_THROWS }, (_, i) => runStretch('full', way, { nth: i + 1 })).flatMap((of) => {
      // What a held rotor draws is no running current.
      const isHeld = kept[keyOf('heldRotorCurrentA', of)] !== undefined;
      return what === 'runningCurrentA' && isHeld ? [] : (kept[keyOf(what, of)] ?? []);
    }),
  );
  const [first, ...others] = found;
  if (first === undefined) return undefined;
  const largest = others.reduce(
    (most, each) => (Math.abs(each.value) > Math.abs(most.value) ? each : most),
    first,
  );
  if (found.some(({ atLeast }) => atLeast)) {
    throw new RangeError(
      `the run's instrument cut off its ${OPTIONS[what]} current: declare it with --${OPTIONS[what]}-a`,
    );
  }
  const value = Math.abs(largest.value);
  const spread = largest.expandedUncertainty;
  return { least: Math.max(0, value - spread), most: value + spread, origin: 'measured' };
}

/**
 * Declared before measured before the profile's.
 * @param kept of the run that measured them
 * @throws RangeError where the run only tells that it was more than its instrument reads
 */
export function plannedCurrents(
  unit: ResolvedUnit,
  supplyV: number,
  declared: DeclaredCurrents,
  kept: KeptReadings = {},
): PlannedCurrents {
  const told = (valueA: number | undefined, what: Told): PlannedCurrent | undefined =>
    valueA === undefined ? measured(kept, what) : { least: valueA, most: valueA, origin: 'declared' };
  const known = ofMotor(unit, supplyV);
  const start = told(declared.startA, 'inrushPeakA');
  const running = told(declared.runningA, 'runningCurrentA') ?? known.running;
  return {
    running,
    ...(start === undefined ? {} : { start }),
    held: told(declared.heldA, 'heldRotorCurrentA') ?? heldBeside(running, known),
    ...(known.running.origin === 'family' && running.least > known.running.most
      ? { usual: { least: known.running.least, most: known.running.most } }
      : {}),
  };
}

/**
 * Held current of a motor of which only the running one was told: no less than it takes to start at all, and as much
 * more than usual as it runs at. The safer end of both for contacts and wires.
 */
function heldBeside(
  running: Range,
  known: { running: PlannedCurrent; held: PlannedCurrent },
): PlannedCurrent {
  if (known.held.origin !== 'family') return known.held;
  const larger = Math.max(1, running.most / known.running.most);
  const least = Math.max(known.held.least, running.least / MOST_RUNNING_PART);
  return { least, most: Math.max(least, larger * known.held.most), origin: known.held.origin };
}

/** What the profile knows: of generic numbers the whole family's range, else its numbers with their tolerances. */
function ofMotor(unit: ResolvedUnit, supplyV: number): Pick<PlannedCurrents, 'running' | 'held'> {
  const family = familyOf(unit);
  if (family !== undefined) {
    return { running: { ...family.runningA, origin: 'family' }, held: { ...family.heldA, origin: 'family' } };
  }
  const motor = plainValues(unit.motor);
  const { resistanceOhm: r, backEmfVsPerRad: ke, torqueNmPerA: kt } = motor;
  const volts = supplyV - motor.brushDropV;
  // Steady: kt i = coulomb + viscous w, and ke w = V - R i.
  const runs = (motor.coulombNm + (motor.viscousNms * volts) / ke) / (kt + (motor.viscousNms * r) / ke);
  return {
    running: { ...around(runs, partOf(unit.motor.coulombNm)), origin: 'profile' },
    held: { ...around(volts / r, partOf(unit.motor.resistanceOhm)), origin: 'profile' },
  };
}

const partOf = (value: MotorProfile['coulombNm']): number =>
  typeof value === 'number' ? 0 : value.tolerancePercent / 100;
const around = (value: number, part: number): Range => ({
  least: value * (1 - part),
  most: value * (1 + part),
});
