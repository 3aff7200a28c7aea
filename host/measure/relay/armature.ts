// Whether an armature moved, from the shape of its coil's current: rise, dip, second rise while it moves; one sweep up
// to the steady level while it is held (Solenoid Fundamentals, Operating Speed, nsfcontrols.co.uk; TI paper SSIY001).
// Anything else cannot be told: warming, noise, a dip of the supply let a current fall, too.

import { sampleAt } from '../../arrays/index.js';
import { summarise } from '../statistics.js';
import { coilStep } from './coil-step.js';

/** Nothing moves sooner (published operate times begin at 3 ms), and no armature takes longer from first fall to back again (common practice). */
const SOONEST_S = 0.001;
const LONGEST_S = 0.025;
/** It pulls in no sooner than at this part of the steady current (drop-out lies at a tenth; common practice). */
const PULLS_IN_PART = 0.25;
/** Behind the dip the current comes back to its first peak, but for this part of the dip. Choice of this program, no source. */
const SHORT_OF_PEAK = 0.25;
/** One sweep: what is left over of an exponential, as a part of the steady level, and in deviations of noise. Choices of this program, no source. */
const SWEEP_PART = 0.015;
const SWEEP_DEVIATIONS = 5;
/** A sweep that rises by less tells nothing, nor does one that is not over in the window. */
const LEAST_RISE_PART = 0.5;
const OVER_IN_TAUS = 4;
/** A supply that falls by half as much as the current explains it. Choice of this program, no source. */
const SUPPLY_PART = 0.5;

export interface ArmatureCourse {
  /** Coil current from its edge on, A, rising: times -1, and from its level, for a release. NaN where none was sampled. */
  values: Float64Array;
  stepS: number;
  /** Where the supply stood over its usual level at the same instants; absent where it was not sampled. */
  supplyPart?: Float64Array;
  /** A fall must be deeper than this. */
  leastDepth: number;
  noise: number;
}

export type ArmatureSeen =
  | { kind: 'moved'; depth: number; at: number }
  | { kind: 'held' }
  | { kind: 'unknown'; why: string };

export function armatureOf(course: ArmatureCourse): ArmatureSeen {
  const { values, stepS, leastDepth } = course;
  const fall = deepestFall(values);
  if (!(fall.depth > leastDepth)) return sweepOf(course);
  const peak = sampleAt(values, fall.from);
  const lateS = fall.at * stepS;
  if (lateS < SOONEST_S)
    return { kind: 'unknown', why: 'the current falls sooner than an armature can move' };
  const level = levelOf(values);
  const low = Math.min(...values.filter((value) => !Number.isNaN(value)));
  if (peak - low < PULLS_IN_PART * (level - low))
    return { kind: 'unknown', why: 'the current falls before it could pull an armature' };
  let back = fall.at;
  while (back < values.length && !(sampleAt(values, back) >= peak - SHORT_OF_PEAK * fall.depth)) back++;
  if (back === values.length || (back - fall.from) * stepS > LONGEST_S)
    return { kind: 'unknown', why: 'the current falls and does not come back, as no armature does it' };
  if (supplyFell(course, fall)) return { kind: 'unknown', why: 'the supply fell with the current' };
  return { kind: 'moved', depth: fall.depth, at: fall.at };
}

/** Deepest fall below what was reached before: from where, to where. */
function deepestFall(values: Float64Array): { depth: number; from: number; at: number } {
  let best = { depth: 0, from: 0, at: 0 };
  let top = { value: Number.NEGATIVE_INFINITY, at: 0 };
  for (let j = 0; j < values.length; j++) {
    const value = sampleAt(values, j);
    if (Number.isNaN(value)) continue;
    if (value > top.value) top = { value, at: j };
    if (top.value - value > best.depth) best = { depth: top.value - value, from: top.at, at: j };
  }
  return best;
}

/** Mean of the last fifth. */
const levelOf = (values: Float64Array): number => summarise(values, Math.floor(0.8 * values.length)).mean;

function supplyFell({ supplyPart, values }: ArmatureCourse, fall: ReturnType<typeof deepestFall>): boolean {
  if (!supplyPart) return false;
  const part = fall.depth / Math.abs(sampleAt(values, fall.from));
  let lowest = 1;
  for (let j = Math.max(0, fall.from - 1); j <= fall.at; j++) {
    const here = sampleAt(supplyPart, j);
    if (here < lowest) lowest = here;
  }
  return 1 - lowest > SUPPLY_PART * part;
}

/** Held where one exponential is all that there is. */
function sweepOf({ values, stepS, noise, leastDepth }: ArmatureCourse): ArmatureSeen {
  const unclear = { kind: 'unknown', why: 'no mark of an armature, and no plain rise either' } as const;
  const to = values.findIndex(Number.isNaN);
  const length = to === -1 ? values.length : to;
  const timeS = Float64Array.from({ length }, (_, j) => j * stepS);
  const fit =
    length < 20 ? undefined : coilStep({ timeS, currentA: values, from: 0, to: length, onS: -stepS });
  if (!fit) return unclear;
  const { endA, startA, tauS } = fit;
  if (endA - startA < LEAST_RISE_PART * endA || length * stepS < OVER_IN_TAUS * tauS) return unclear;
  const allowed = Math.max(SWEEP_PART * endA, SWEEP_DEVIATIONS * noise);
  // A mark that the channel could not show is not absent.
  if (leastDepth > 2 * SWEEP_PART * endA) return unclear;
  for (let j = 3; j < length; j++) {
    const left = sampleAt(values, j) - endA + (endA - startA) * Math.exp(-(j * stepS + stepS) / tauS);
    if (Math.abs(left) > allowed) return unclear;
  }
  return { kind: 'held' };
}
