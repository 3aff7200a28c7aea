// Resistance of the way to the motor and back, read just behind the inrush peak. An ohm is a drop over a current, and its
// relative uncertainty is u(V)/V and u(I)/I in squares (GUM 5.1.6): offsets of the channels weigh least where most flows.

import { sampleAt } from '../arrays/index.js';
import type { Channel } from '../capture/index.js';
import { budgetOf } from './budget.js';
import type { DriveCurrent } from './drive-current.js';
import { differenceOf, levelOf, quotientOf } from './level.js';
import { lineOf, type Quantity, withLine } from './quantity.js';
import type { Start } from './start.js';
import { meanOver } from './statistics.js';
import type { HeldThrow } from './throw.js';
import { indexAt, samplesIn } from './trace.js';

/** Slow channels are interpolated over a millisecond, and contacts still bounce on the rise: both are left out. */
const BEHIND_PEAK_S = 0.002;
/** Down to this part of the peak, and no longer: from there on a longer mean gains less than the smaller current loses. Choices of this program, no source. */
const TO_PART = 0.7;
const LONGEST_S = 0.04;
/** Fewer samples, or a shorter stretch, tell no mean of channels that are converted one after the other. Choice of this program, no source. */
const LEAST_SAMPLES = 12;
const LEAST_S = 0.003;
/** Coarser than this the stretch is mostly lines between samples. Choice of this program, no source. */
const COARSE_S = 0.0005;
const SMOOTH_S = 0.001;
/** So far apart in time two channels may have been converted, whatever the grid says: rectangular (a scan of six slots at 18 kHz). */
const SKEW_S = 0.00033;

/** Puts what the start tells of the drops; nothing where it was cut off, disturbed, or too short. */
export function readStartDrops(held: HeldThrow, start: Start, supplySampled: boolean): void {
  const { trace, current, budgets, put } = held;
  const over = current && settledStretch(held, current, start);
  if (!current || !over) return;
  const level = (channel: Channel, sign = 1): Quantity | undefined =>
    levelOf(trace, channel, over, budgets, { sign, isMoving: true });
  const magnitude = level(current.channel, current.channel === 'motorCurrentA' ? held.sign : 1);
  const [a, b] = [level('leadAVoltageV'), level('leadBVoltageV')];
  if (!magnitude || magnitude.isAtEnd || !a || !b) return;
  const [high, low] = a.value > b.value ? [a, b] : [b, a];
  const supply = supplySampled ? level('supplyVoltageV') : undefined;
  const fallA = Math.abs(meanAt(held, current, over[0]) - meanAt(held, current, over[1]));
  const spanS = sampleAt(trace.timeS, over[1] - 1) - sampleAt(trace.timeS, over[0]);
  const ohmOf = (drop: Quantity): Quantity | undefined => {
    const ohm = quotientOf(drop, magnitude, 'Ohm');
    const skew = ((fallA / spanS) * SKEW_S) / Math.sqrt(3) / magnitude.value;
    return ohm && withLine(ohm, lineOf(Math.abs(ohm.value) * skew, 'conversion one after the other'));
  };
  put('startLoadA', magnitude);
  put('groundResistanceAtStartOhm', ohmOf(low));
  if (supply) put('feedResistanceAtStartOhm', ohmOf(differenceOf(supply, high)));
}

/** Samples [from, to) behind the peak in which the current falls smoothly and every channel is within its range. */
function settledStretch(
  held: HeldThrow,
  current: DriveCurrent,
  { at, peakA, peak }: Start,
): readonly [number, number] | undefined {
  const { trace, stretch, leaveOut, moves } = held;
  if (peak.atLeast || trace.stepS > COARSE_S) return undefined;
  const peakS = sampleAt(trace.timeS, at);
  const from = indexAt(trace, peakS + BEHIND_PEAK_S, at, stretch.to);
  const latest = Math.min(
    indexAt(trace, peakS + LONGEST_S, from, stretch.to),
    indexAt(trace, held.runToS - BEHIND_PEAK_S, from, stretch.to),
  );
  const width = Math.max(1, Math.round(samplesIn(trace, SMOOTH_S)));
  let to = from;
  while (to + width <= latest && meanOver(current.values, to, to + width) > TO_PART * peakA) to += width;
  if (to - from < LEAST_SAMPLES || (to - from) * trace.stepS < LEAST_S) return undefined;
  const isTouched = ([since, until]: readonly [number, number]): boolean => since < to && until > from;
  if (leaveOut.some(isTouched) || moves.some((move) => isTouched([move.from, move.until]))) return undefined;
  return isWithinRanges(held, current, [at, to]) ? [from, to] : undefined;
}

/** Whether no sample of what is read stands at an end of its channel. */
function isWithinRanges(
  { trace, budgets }: HeldThrow,
  { channel }: DriveCurrent,
  [from, to]: readonly [number, number],
): boolean {
  const read: readonly Channel[] = [channel, 'leadAVoltageV', 'leadBVoltageV', 'supplyVoltageV'];
  return read.every((each) => {
    const { minimum, maximum, resolution } = budgetOf(budgets, each);
    const values = trace.channels[each];
    for (let i = from; values && i < to; i++) {
      const value = sampleAt(values, i);
      if (Number.isNaN(value) || value > maximum - resolution / 2 || value < minimum + resolution / 2)
        return false;
    }
    return true;
  });
}

const meanAt = ({ trace }: HeldThrow, { values }: DriveCurrent, at: number): number => {
  const width = Math.max(1, Math.round(samplesIn(trace, SMOOTH_S)));
  return meanOver(values, Math.max(0, at - width), at + width);
};
