// A current whose zero walks off evenly while a rig's run goes on: followed from rest to rest, taken off and told, and what it does
// not follow stays in the uncertainty. What comes on with the feed, or flows in both currents, is no zero and is left alone.

import { sampleAt } from '../arrays/index.js';
import { type Capture, CHANNEL, type Channel, type Feed } from '../capture/index.js';
import { amount } from '../tell/index.js';
import { type Budgets, budgetOf } from './budget.js';
import { runsOf } from './runs.js';
import { independentCount, summarise } from './statistics.js';

/** The last part of a rest: whatever brakes or falls has gone by then. */
const TAIL_PART = 0.3;
const TAIL_S = 0.5;
const LEAST_S = 0.02;
const LEAST_SAMPLES = 10;
/** Fewer rests show no course. Choice of this program, no source. */
const LEAST_RESTS = 4;
/** A zero walks evenly; what a feed or a throw sets off comes in a step, which leaves a third of itself beside a straight line. Choice of this program, no source. */
const EVEN_PART = 0.2;
/** The other current moved by this part of it as well: then something flows. Choice of this program, no source. */
const ALIKE_PART = 0.4;
/** Of the highest current of the run: more is no zero. Choice of this program, no source. */
const MOST_PART = 0.2;
/** Uncertainties by which it must stand clear, and part of a count. Choices of this program, no source. */
const CLEAR = 5;
const LEAST_COUNTS = 0.5;

interface Rest {
  timeS: number;
  levelA: number;
  uncertaintyA: number;
}

interface Walk {
  rests: readonly Rest[];
  /** From the first to the last rest, by the straight line. */
  movedA: number;
  /** Furthest from that line. */
  besideA: number;
}

const CURRENTS = ['motorCurrentA', 'feedCurrentA'] as const satisfies readonly Channel[];

/** The capture with walking zeros taken off, its budgets and what is told of it; as it came where none walks. Pure. */
export function withFollowedZero(
  capture: Capture,
  budgets: Budgets,
): { capture: Capture; budgets: Budgets; notes: string[] } {
  const { feed } = capture;
  if (!feed || capture.positionKnown === false) return { capture, budgets, notes: [] };
  const walks = new Map(
    CURRENTS.flatMap((channel) => {
      const walk = walkOf(capture, feed, channel);
      return walk === undefined ? [] : [[channel, walk] as const];
    }),
  );
  const channels = { ...capture.channels };
  const told = { ...budgets };
  const notes: string[] = [];
  for (const channel of CURRENTS) {
    const values = channels[channel];
    const walk = walks.get(channel);
    const other = walks.get(channel === 'motorCurrentA' ? 'feedCurrentA' : 'motorCurrentA');
    if (!values || !walk || !isZero(walk, values, budgetOf(budgets, channel).resolution)) continue;
    if (other && Math.abs(other.movedA) > ALIKE_PART * Math.abs(walk.movedA)) continue;
    channels[channel] = values.map((value, i) => value - zeroAt(walk.rests, sampleAt(capture.timeS, i)));
    const budget = budgetOf(budgets, channel);
    told[channel] = { ...budget, drift: Math.hypot(budget.drift ?? 0, walk.besideA / Math.sqrt(3)) };
    notes.push(
      `The zero of ${CHANNEL[channel].words} walked by ${amount(walk.movedA, 'A', 2)} during the run: followed from rest to rest and taken off. Let the rig warm up, then calibrate it (throwbench calibrate).`,
    );
  }
  return notes.length === 0
    ? { capture, budgets, notes }
    : { capture: { ...capture, channels }, budgets: told, notes };
}

function isZero({ rests, movedA, besideA }: Walk, values: Float64Array, resolution: number): boolean {
  const uncertaintyA = Math.max(...rests.map((rest) => rest.uncertaintyA));
  const movedBy = Math.abs(movedA);
  if (movedBy < Math.max(CLEAR * uncertaintyA, LEAST_COUNTS * resolution)) return false;
  if (besideA > EVEN_PART * movedBy + 2 * uncertaintyA) return false;
  let highestA = 0;
  for (const value of values) if (Math.abs(value) > highestA) highestA = Math.abs(value);
  return movedBy < MOST_PART * highestA;
}

/** Rests of a run, that before the feed came on first. */
function walkOf(
  { timeS, position, channels }: Capture,
  feed: readonly Feed[],
  channel: Channel,
): Walk | undefined {
  const values = channels[channel];
  if (!values) return undefined;
  const rests = runsOf(0, timeS.length, (i) => `${position[i]} ${feed[i]}`).flatMap(({ from, to }) =>
    position[from] === 'rest' ? (restOf(timeS, values, from, to) ?? []) : [],
  );
  if (rests.length < LEAST_RESTS) return undefined;
  const mean = (of: (rest: Rest) => number): number =>
    rests.reduce((sum, rest) => sum + of(rest), 0) / rests.length;
  const [meanS, meanA] = [mean((rest) => rest.timeS), mean((rest) => rest.levelA)];
  const perS =
    mean((rest) => (rest.timeS - meanS) * (rest.levelA - meanA)) / mean((rest) => (rest.timeS - meanS) ** 2);
  const besideA = Math.max(
    ...rests.map((rest) => Math.abs(rest.levelA - meanA - perS * (rest.timeS - meanS))),
  );
  const [first, last] = [rests[0], rests.at(-1)];
  return { rests, movedA: perS * ((last?.timeS ?? 0) - (first?.timeS ?? 0)), besideA };
}

function restOf(timeS: Float64Array, values: Float64Array, from: number, to: number): Rest | undefined {
  const endS = sampleAt(timeS, to - 1);
  const tailS = Math.min(TAIL_S, TAIL_PART * (endS - sampleAt(timeS, from)));
  if (tailS < LEAST_S) return undefined;
  let first = to - 1;
  while (first > from && sampleAt(timeS, first - 1) >= endS - tailS) first--;
  const window = values.subarray(first, to);
  const summary = summarise(window);
  if (summary.count < LEAST_SAMPLES) return undefined;
  return {
    timeS: endS - tailS / 2,
    levelA: summary.mean,
    uncertaintyA: summary.deviation / Math.sqrt(independentCount(window, summary)),
  };
}

/** Between the rests on both sides a straight line; before the first and behind the last as there. */
function zeroAt(rests: readonly Rest[], timeS: number): number {
  const later = rests.findIndex((rest) => rest.timeS >= timeS);
  const after = rests[later < 0 ? rests.length - 1 : later];
  const before = rests[later < 0 ? rests.length - 1 : Math.max(0, later - 1)];
  if (!after || !before) return 0;
  if (after === before) return after.levelA;
  const part = (timeS - before.timeS) / (after.timeS - before.timeS);
  return before.levelA + part * (after.levelA - before.levelA);
}
