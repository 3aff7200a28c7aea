// A load that changes while a motor runs: it comes up against an end of its travel and is held there, something jams or
// begins to weigh, or lets go. The current stands on one level and then on another; the motor's own is the first.

import { sampleAt } from '../arrays/index.js';
import { median } from './statistics.js';
import { indexAt, samplesIn, type Trace } from './trace.js';

export interface LoadStep {
  /** First sample that is no longer of the level before. */
  at: number;
  /** `stands`: what flows behind it is as much as the start, so the rotor does not turn. */
  kind: 'stands' | 'heavier' | 'lighter';
  beforeA: number;
  /** Behind it, to the end. */
  afterA: number;
}

/** One throw: samples from contact up to `to` of a current whose sign is taken out. */
export interface Ran {
  current: Float64Array;
  contact: number;
  to: number;
  noiseA: number;
}

/** Ripple and tight spots of a gear go from a median over so long (a window of seven turns a second has two ripples in it). */
const CELL_S = 0.02;
/** The start is over by then; both levels last at least so long, and what lies between them no longer (common practice, no source). */
const STARTED_S = 0.04;
const LASTS_S = 0.06;
const BETWEEN_S = 0.12;
/** A step is at least this part of the level before it, and so many times what either side scatters by. Choices of this program, no source. */
const LEAST_PART = 0.15;
const OVER_SCATTER = 5;
const LEAST_A = 0.1;
/** Further from the level before than this part of the step, a cell is on its way to the other. Choice of this program, no source. */
const ON_THE_WAY_PART = 0.1;
/** Less than this part of what ran is no running current: friction alone takes more. Choice of this program, no source. */
const GONE_PART = 0.2;
/** Of the current of the start, at its supply: a motor that turns draws less for long (common practice, no source). */
const STANDS_PART = 0.8;
/** The highest current of the start is a little below what the rotor draws when held. */
const START_WITHIN_S = 0.15;
/** A level that goes on falling or rising by more of the step than this is no level: a start that settles slowly. */
const SLOPE_PART = 0.25;

/** Undefined where the current stands on one level, as it should. */
export function loadStepOf(trace: Trace, ran: Ran): LoadStep | undefined {
  const { current, contact, to } = ran;
  const width = Math.max(1, Math.round(samplesIn(trace, CELL_S)));
  const first = indexAt(trace, sampleAt(trace.timeS, contact) + STARTED_S, contact, to);
  const cells: number[] = [];
  for (let from = first; from + width <= to; from += width)
    cells.push(Math.abs(median(current, from, from + width)));
  const lasts = Math.ceil(LASTS_S / CELL_S);
  const between = Math.ceil(BETWEEN_S / CELL_S);
  if (cells.length < 2 * lasts + 1 || cells.some(Number.isNaN)) return undefined;
  const after = levelFromEnd(cells, lasts);
  if (after === undefined) return undefined;
  // The level before it: as long as it can be, ending no further from the other one than a rotor takes to slow down.
  for (let gap = 0; gap <= between; gap++) {
    const end = after.from - gap;
    if (end < lasts) return undefined;
    const start = Math.max(0, end - Math.max(lasts, Math.floor(end / 2)));
    const before = levelOver(cells, start, end);
    const stepA = after.level - before.level;
    const scatterA = Math.max(before.scatter, after.scatter, ran.noiseA / Math.sqrt(width));
    const isClear =
      Math.abs(stepA) > Math.max(LEAST_PART * before.level, OVER_SCATTER * scatterA, LEAST_A) &&
      Math.abs(before.drift) < SLOPE_PART * Math.abs(stepA);
    if (!isClear) continue;
    // A current that ends has lost its feed, not its load.
    if (after.level < GONE_PART * before.level) return undefined;
    // A start that has not settled yet falls towards its level: only a level that stood long can be said to have gone down.
    if (stepA < 0 && end - start < 2 * lasts) return undefined;
    // What lies on the way from one level to the other belongs to neither.
    let last = end;
    const onTheWay = Math.max(ON_THE_WAY_PART * Math.abs(stepA), 2 * scatterA);
    while (last > start + 1 && Math.abs((cells[last - 1] ?? Number.NaN) - before.level) > onTheWay) last--;
    // The last cell before it may hold its beginning.
    if (last > start + lasts) last--;
    return {
      at: first + last * width,
      kind: kindOf(trace, ran, stepA, after.level),
      beforeA: before.level,
      afterA: after.level,
    };
  }
  return undefined;
}

function kindOf(trace: Trace, ran: Ran, stepA: number, afterA: number): LoadStep['kind'] {
  if (stepA < 0) return 'lighter';
  const { current, contact, to } = ran;
  const until = indexAt(trace, sampleAt(trace.timeS, contact) + START_WITHIN_S, contact, to);
  let mostA = 0;
  for (let i = contact; i < until; i++) {
    const value = Math.abs(sampleAt(current, i));
    if (value > mostA) mostA = value;
  }
  return afterA > STANDS_PART * mostA ? 'stands' : 'heavier';
}

interface Level {
  level: number;
  scatter: number;
  /** From its first third to its last. */
  drift: number;
}

function levelOver(cells: readonly number[], from: number, to: number): Level {
  const part = cells.slice(from, to);
  const level = median(part);
  const third = Math.max(1, Math.floor(part.length / 3));
  return {
    level,
    scatter: 1.5 * median(part.map((value) => Math.abs(value - level))),
    drift: median(part.slice(-third)) - median(part.slice(0, third)),
  };
}

/** The level that the current ends on, followed back as far as it stands. */
function levelFromEnd(cells: readonly number[], least: number): (Level & { from: number }) | undefined {
  const last = levelOver(cells, cells.length - least, cells.length);
  const reach = Math.max(OVER_SCATTER * last.scatter, (LEAST_PART / 2) * last.level);
  let from = cells.length - least;
  while (from > 0 && Math.abs((cells[from - 1] ?? Number.NaN) - last.level) <= reach) from--;
  return from === 0 ? undefined : { ...levelOver(cells, from, cells.length), from };
}
