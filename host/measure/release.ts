// What happens in the first milliseconds after a throw is released: coast, or dynamic brake to one of the rails.

import { brakeDecay } from './brake.js';
import { type Budgets, budgetOf, systematic } from './budget.js';
import { levelOf } from './level.js';
import { type Measured, quantityOf } from './quantity.js';
import type { ReleaseClass } from './segment.js';
import { summarise } from './statistics.js';
import { indexAt, type Trace } from './trace.js';

/** Longest wait from command to break: relay release with a diode, about 15 ms, doubled (published range: NO opens within 10 ms). */
const LONGEST_DELAY_S = 0.03;
/** Relay transfer, bounce and the inductive kick are over by then; brake current still stands (half speed takes 5 ms or more). */
const LOOK_FROM_S = 0.0016;
const LOOK_FOR_S = 0.003;
/** Release, transfer and bounce of a slow relay together (published release times end at 10 ms). */
const LOOK_WITHOUT_CURRENT_S = 0.012;

export interface ThrowBefore {
  name: string;
  /** +1 when the motor was really driven forward, -1 in reverse. */
  sign: number;
  runningA: number | undefined;
  leadAV: number | undefined;
  leadBV: number | undefined;
  supplyV: number;
  inrushA: number | undefined;
  live: boolean;
}

export interface ReleaseSeen {
  class: ReleaseClass | undefined;
  breakS: number | undefined;
  measured: Measured;
}

/** Reads the rest stretch [from, to) that follows a throw. */
export function releaseOf(
  trace: Trace,
  from: number,
  to: number,
  before: ThrowBefore,
  budgets: Budgets,
): ReleaseSeen {
  const nothing: ReleaseSeen = { class: undefined, breakS: undefined, measured: {} };
  if (!before.live || to - from < 5) return nothing;
  const limit = indexAt(trace, trace.timeS[from]! + LONGEST_DELAY_S, from, to);
  const breakAt = findBreak(trace, from, limit, before);
  if (breakAt === undefined) {
    const end = indexAt(trace, trace.timeS[from]! + 0.1, from, to);
    return end - limit > 5 && stillDriven(trace, limit, end, before)
      ? { ...nothing, class: 'driven' }
      : nothing;
  }
  const breakS = trace.timeS[breakAt]!;
  const brake = brakePeak(trace, breakAt, to, before.sign);
  const noiseA = trace.noise.motorCurrentA ?? 0;
  const brakeThresholdA = Math.max(0.15, 5 * noiseA, 0.05 * (before.inrushA ?? before.runningA ?? 0));
  const flowsBack = brake !== undefined && brake.peakA > brakeThresholdA;
  // A brake is looked at once its current stands; transfer and bounce of the contact may take longer than the kick.
  // Without the current, only the voltage after every contact has landed tells a brake from a coast.
  const settledS = brake ? LOOK_FROM_S : LOOK_WITHOUT_CURRENT_S;
  const lookS = flowsBack ? Math.max(breakS + LOOK_FROM_S, trace.timeS[brake.at]!) : breakS + settledS;
  const lookFrom = indexAt(trace, lookS, from, to);
  const lookTo = Math.max(lookFrom + 3, indexAt(trace, lookS + LOOK_FOR_S, from, to));
  if (lookTo > to) return { ...nothing, breakS };
  const measured: Measured = {};
  const { name, sign } = before;
  const put = (key: string, quantity: Measured[string] | undefined): void => {
    if (quantity) measured[`${name}${key}`] = quantity;
  };
  const a = levelOf(trace, 'leadAVoltageV', lookFrom, lookTo, budgets, { isMoving: true });
  const b = levelOf(trace, 'leadBVoltageV', lookFrom, lookTo, budgets, { isMoving: true });
  const current = levelOf(trace, 'motorCurrentA', lookFrom, lookTo, budgets, { isMoving: true });
  put('ReleaseLeadAVoltageV', a);
  put('ReleaseLeadBVoltageV', b);
  put('ReleaseMotorCurrentA', current);
  const voltage = a && b ? sign * (a.value - b.value) : undefined;
  const commonV = a && b ? (a.value + b.value) / 2 : undefined;
  let kind: ReleaseClass | undefined;
  const braking =
    brake !== undefined ? flowsBack && (voltage === undefined || voltage < 0.5 * before.supplyV) : undefined;
  if (braking)
    kind = commonV === undefined ? undefined : commonV < before.supplyV / 2 ? 'brake-ground' : 'brake-high';
  else if (voltage !== undefined && voltage > Math.max(0.5, 0.05 * before.supplyV)) kind = 'coast';
  else if (braking === false && voltage !== undefined) kind = 'still';
  if (braking && brake) {
    put(
      'BrakePeakA',
      quantityOf(
        brake.peakA,
        'A',
        [
          // A mean over a millisecond, highest of several; size seen on brakes whose truth is known (tests).
          {
            standardUncertainty: Math.hypot(noiseA / 2, 0.005 * brake.peakA),
            degreesOfFreedom: 50,
            source: 'scatter and shape',
          },
          ...systematic(budgetOf(budgets, 'motorCurrentA'), brake.peakA, noiseA),
        ],
        { fromS: breakS, toS: trace.timeS[brake.at]! },
      ),
    );
  }
  if (braking && brake) put('BrakeDecayS', brakeDecay(trace, brake.at, to, sign, brake.peakA));
  if (kind === 'coast') put('ReleaseBackEmfV', backEmf(trace, breakAt, to, sign, budgets));
  return { class: kind, breakS, measured };
}

/** First sample at which current or a lead has left its driven level. */
function findBreak(trace: Trace, from: number, limit: number, before: ThrowBefore): number | undefined {
  const current = trace.channels.motorCurrentA;
  const noiseA = trace.noise.motorCurrentA ?? 0;
  const useCurrent = current !== undefined && (before.runningA ?? 0) > 8 * noiseA;
  const leadA = trace.channels.leadAVoltageV;
  const leadB = trace.channels.leadBVoltageV;
  const stepV = 0.25 * before.supplyV;
  const gone = (i: number): boolean =>
    (useCurrent && before.sign * current[i]! < 0.5 * before.runningA!) ||
    (before.leadAV !== undefined && leadA !== undefined && Math.abs(leadA[i]! - before.leadAV) > stepV) ||
    (before.leadBV !== undefined && leadB !== undefined && Math.abs(leadB[i]! - before.leadBV) > stepV);
  for (let i = from; i + 1 < limit; i++) if (gone(i) && gone(i + 1)) return i;
  return undefined;
}

function stillDriven(trace: Trace, from: number, to: number, before: ThrowBefore): boolean {
  if (trace.motorVoltageV) {
    const { mean, count } = summarise(trace.motorVoltageV, from, to);
    return count > 0 && before.sign * mean > 0.5 * before.supplyV;
  }
  const current = trace.channels.motorCurrentA;
  return (
    current !== undefined &&
    before.sign * summarise(current, from, to).mean > 0.5 * (before.runningA ?? Number.POSITIVE_INFINITY)
  );
}

/** Highest 1 ms mean of the current against the run direction, within 60 ms of the break. */
function brakePeak(
  trace: Trace,
  breakAt: number,
  to: number,
  sign: number,
): { peakA: number; at: number } | undefined {
  const current = trace.channels.motorCurrentA;
  if (!current) return undefined;
  const end = indexAt(trace, trace.timeS[breakAt]! + 0.06, breakAt, to);
  const width = Math.max(1, Math.round(0.001 / trace.stepS));
  let best: { peakA: number; at: number } | undefined;
  for (let i = breakAt; i + width <= end; i++) {
    let sum = 0;
    for (let j = i; j < i + width; j++) sum -= sign * current[j]!;
    const peakA = sum / width;
    if (!Number.isNaN(peakA) && (!best || peakA > best.peakA)) best = { peakA, at: i + (width >> 1) };
  }
  return best;
}

/** Motor voltage at the break, by a straight line through the first milliseconds after the kick, drawn back. */
function backEmf(
  trace: Trace,
  breakAt: number,
  to: number,
  sign: number,
  budgets: Budgets,
): Measured[string] | undefined {
  const voltage = trace.motorVoltageV;
  if (!voltage) return undefined;
  const breakS = trace.timeS[breakAt]!;
  const from = indexAt(trace, breakS + LOOK_FROM_S, breakAt, to);
  const end = indexAt(trace, breakS + 0.006, breakAt, to);
  let n = 0;
  let meanX = 0;
  let meanY = 0;
  let sxx = 0;
  let sxy = 0;
  for (let i = from; i < end; i++) {
    const y = sign * voltage[i]!;
    if (Number.isNaN(y)) continue;
    const x = trace.timeS[i]! - breakS;
    n++;
    const dx = x - meanX;
    meanX += dx / n;
    meanY += (y - meanY) / n;
    sxx += dx * (x - meanX);
    sxy += dx * (y - meanY);
  }
  if (n < 4 || sxx <= 0) return undefined;
  const slope = sxy / sxx;
  // Friction that is constant makes it a straight line, friction by speed an exponential: half of that bend, give or take.
  const bendV = bendAtStart(slope, meanY, meanX, sxx / n);
  const value = meanY - slope * meanX + bendV;
  let squares = 0;
  for (let i = from; i < end; i++) {
    const residual = sign * voltage[i]! - meanY - slope * (trace.timeS[i]! - breakS - meanX);
    if (!Number.isNaN(residual)) squares += residual * residual;
  }
  const deviation = Math.sqrt(squares / (n - 2));
  const budget = budgetOf(budgets, 'leadAVoltageV');
  return quantityOf(
    value,
    'V',
    [
      {
        standardUncertainty: deviation * Math.sqrt(1 / n + (meanX * meanX) / sxx),
        degreesOfFreedom: n - 2,
        source: 'scatter about the line',
      },
      {
        standardUncertainty: Math.abs(bendV) / Math.sqrt(3),
        degreesOfFreedom: Number.POSITIVE_INFINITY,
        source: 'bend of the fall',
      },
      // The contact broke somewhere within the step that shows it.
      {
        standardUncertainty: (Math.abs(slope) * trace.stepS) / Math.sqrt(3),
        degreesOfFreedom: Number.POSITIVE_INFINITY,
        source: 'moment of the break',
      },
      ...systematic(budget, value / 2, deviation / Math.SQRT2),
      ...systematic(budgetOf(budgets, 'leadBVoltageV'), value / 2, deviation / Math.SQRT2),
    ],
    { fromS: breakS, toS: trace.timeS[end - 1]! },
  );
}

/**
 * Half of what an exponential through the line's middle stands above the line at time 0, for readings spread evenly with
 * `variance` about `meanS`: of a quadratic part q t^2 a straight line misses q (mean^2 - variance) there.
 */
const bendAtStart = (slopePerS: number, middle: number, meanS: number, variance: number): number =>
  middle > 0 ? ((slopePerS * slopePerS) / middle / 4) * (meanS * meanS - variance) : 0;
