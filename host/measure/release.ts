// What happens in the first milliseconds after a throw is released: coast, or dynamic brake to one of the rails.

import { sampleAt } from '../arrays/index.js';
import { brakeDecay } from './brake.js';
import { type Budgets, budgetOf, systematic } from './budget.js';
import { levelOf } from './level.js';
import { lineOf, type Quantity, quantityOf } from './quantity.js';
import { type Measured, puttingInto } from './reading.js';
import type { RunStretch } from './run-stretch.js';
import { RunningLine } from './running-line.js';
import type { ReleaseClass } from './segment.js';
import { summarise, windowMeans } from './statistics.js';
import { type CommandedStretch, indexAt, type Trace } from './trace.js';

/** Longest wait from command to break: relay release with a diode, about 15 ms, doubled (published range: NO opens within 10 ms). */
const LONGEST_DELAY_S = 0.03;
/** Relay transfer, bounce and the inductive kick are over by then; brake current still stands (half speed takes 5 ms or more). */
const LOOK_FROM_S = 0.0016;
const LOOK_FOR_S = 0.003;
/** Release, transfer and bounce of a slow relay together (published release times end at 10 ms). */
const LOOK_WITHOUT_CURRENT_S = 0.012;
/** The contact is open when a lead has left its driven level by this part of the supply, or the current has halved. Choices of this program, no source. */
const LEFT_PART = 0.25;
const HALVED = 0.5;
/** Noise that a current must stand clear of to date the break. Choice of this program, no source. */
const CLEAR_OF_NOISE = 8;
/** A motor that goes on being fed keeps more than this of its voltage, or of its current; a braked or coasting one less (back-EMF 0.75 to 0.86 of the supply, falling). Choice of this program, no source. */
const DRIVEN_PART = 0.5;
const STILL_DRIVEN_WITHIN_S = 0.1;
/** Least brake current: of an ampere, of the noise, and of the start, of which a brake takes 0.6 to 0.7 (derived for small PM motors). */
const LEAST_BRAKE_A = 0.15;
const BRAKE_CLEAR_OF_NOISE = 5;
const BRAKE_PART = 0.05;
/** Back-EMF of a coasting motor: half a volt, or a part of the supply. A braked motor shows less. Choices of this program, no source. */
const LEAST_BACK_EMF_V = 0.5;
const BACK_EMF_PART = 0.05;
/** Part that a falling back-EMF may leave open and still tell a coast. Choice of this program, no source. */
const VAGUE_PART = 0.15;
/** A brake rises within this of the break, and is the highest mean over so long. */
const BRAKE_WITHIN_S = 0.06;
const BRAKE_MEAN_S = 0.001;
/** What the mean leaves of the peak, as a part of it: seen on brakes whose truth is known (tests). */
const BRAKE_SHAPE_PART = 0.005;
/** The back-EMF's fall is taken as straight this long. */
const STRAIGHT_S = 0.006;

export interface ThrowBefore {
  of: RunStretch;
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

/** Reads the rest stretch that follows a throw. */
export function releaseOf(
  trace: Trace,
  { from, to }: CommandedStretch,
  before: ThrowBefore,
  budgets: Budgets,
): ReleaseSeen {
  const nothing: ReleaseSeen = { class: undefined, breakS: undefined, measured: {} };
  if (!before.live || to - from < 5) return nothing;
  const limit = indexAt(trace, sampleAt(trace.timeS, from) + LONGEST_DELAY_S, from, to);
  const breakAt = findBreak(trace, from, limit, before);
  if (breakAt === undefined) {
    const end = indexAt(trace, sampleAt(trace.timeS, from) + STILL_DRIVEN_WITHIN_S, from, to);
    return { ...nothing, class: end - limit > 5 ? unbroken(trace, limit, end, before) : undefined };
  }
  const breakS = sampleAt(trace.timeS, breakAt);
  const brake = brakePeak(trace, breakAt, to, before.sign);
  const noiseA = trace.noise.motorCurrentA ?? 0;
  const startA = before.inrushA ?? before.runningA ?? 0;
  const leastA = Math.max(LEAST_BRAKE_A, BRAKE_CLEAR_OF_NOISE * noiseA, BRAKE_PART * startA);
  const flowsBack = brake !== undefined && brake.peakA - leftBehind(trace, breakAt, to, before.sign) > leastA;
  // A brake is looked at once its current stands; transfer and bounce of the contact may take longer than the kick.
  // Without the current, only the voltage after every contact has landed tells a brake from a coast.
  const settledS = brake ? LOOK_FROM_S : LOOK_WITHOUT_CURRENT_S;
  const lookS = flowsBack
    ? Math.max(breakS + LOOK_FROM_S, sampleAt(trace.timeS, brake.at))
    : breakS + settledS;
  const lookFrom = indexAt(trace, lookS, from, to);
  const lookTo = Math.max(lookFrom + 3, indexAt(trace, lookS + LOOK_FOR_S, from, to));
  if (lookTo > to) return { ...nothing, breakS };
  const measured: Measured = {};
  const put = puttingInto(measured, before.of);
  const level = (channel: 'leadAVoltageV' | 'leadBVoltageV' | 'motorCurrentA'): Quantity | undefined =>
    levelOf(trace, channel, [lookFrom, lookTo], budgets, { isMoving: true });
  const a = put('releaseLeadAVoltageV', level('leadAVoltageV'));
  const b = put('releaseLeadBVoltageV', level('leadBVoltageV'));
  put('releaseMotorCurrentA', level('motorCurrentA'));
  const leads = a && b && { acrossV: before.sign * (a.value - b.value), commonV: (a.value + b.value) / 2 };
  const kind = classOf(leads, brake && flowsBack, before.supplyV);
  if (brake && (kind === 'brake-ground' || kind === 'brake-high' || (flowsBack && !leads))) {
    const scatter = Math.hypot(noiseA / 2, BRAKE_SHAPE_PART * brake.peakA);
    const lines = [
      lineOf(scatter, 'scatter and shape', 50),
      ...systematic(budgetOf(budgets, 'motorCurrentA'), brake.peakA, noiseA),
    ];
    const span = { fromS: breakS, toS: sampleAt(trace.timeS, brake.at) };
    put('brakePeakA', quantityOf(brake.peakA, 'A', lines, span));
    put('brakeDecayS', brakeDecay(trace, brake, to, before.sign));
  }
  if (kind !== 'coast') return { class: kind, breakS, measured };
  const backEmfV = put('releaseBackEmfV', backEmf(trace, breakAt, to, before.sign, budgets));
  // A motor that friction stops at once leaves no time to see which contact closes behind it.
  const isVague = backEmfV !== undefined && backEmfV.expandedUncertainty > VAGUE_PART * backEmfV.value;
  return { class: isVague ? undefined : kind, breakS, measured };
}

/** @param flowsBack whether a brake current flows; undefined where the motor current was not sampled */
function classOf(
  leads: { acrossV: number; commonV: number } | undefined,
  flowsBack: boolean | undefined,
  supplyV: number,
): ReleaseClass | undefined {
  if (!leads) return undefined;
  if (flowsBack && leads.acrossV < DRIVEN_PART * supplyV)
    return leads.commonV < supplyV / 2 ? 'brake-ground' : 'brake-high';
  if (leads.acrossV > Math.max(LEAST_BACK_EMF_V, BACK_EMF_PART * supplyV)) return 'coast';
  return flowsBack === undefined ? undefined : 'still';
}

/** First sample at which current or a lead has left its driven level. */
function findBreak(trace: Trace, from: number, limit: number, before: ThrowBefore): number | undefined {
  const { sign, runningA = 0, leadAV, leadBV, supplyV } = before;
  const { motorCurrentA: current, leadAVoltageV: leadA, leadBVoltageV: leadB } = trace.channels;
  const useCurrent = runningA > CLEAR_OF_NOISE * (trace.noise.motorCurrentA ?? 0);
  const hasLeft = (lead: Float64Array | undefined, drivenV: number | undefined, i: number): boolean =>
    lead !== undefined &&
    drivenV !== undefined &&
    Math.abs(sampleAt(lead, i) - drivenV) > LEFT_PART * supplyV;
  const gone = (i: number): boolean =>
    (useCurrent && current !== undefined && sign * sampleAt(current, i) < HALVED * runningA) ||
    hasLeft(leadA, leadAV, i) ||
    hasLeft(leadB, leadBV, i);
  for (let i = from; i + 1 < limit; i++) if (gone(i) && gone(i + 1)) return i;
  return undefined;
}

/** Of a release whose break no sample shows: driven on, or a light motor that coasts with nearly its voltage. */
function unbroken(trace: Trace, from: number, to: number, before: ThrowBefore): ReleaseClass | undefined {
  const current = trace.channels.motorCurrentA;
  const ranA = before.runningA;
  // The mean of so many samples shows a current that no single one does.
  const clearA = (CLEAR_OF_NOISE * (trace.noise.motorCurrentA ?? 0)) / Math.sqrt(to - from);
  const flows =
    current && ranA !== undefined && ranA > clearA
      ? before.sign * summarise(current, from, to).mean > DRIVEN_PART * ranA
      : undefined;
  if (!trace.motorVoltageV) return flows ? 'driven' : undefined;
  const { mean, count } = summarise(trace.motorVoltageV, from, to);
  if (count === 0 || before.sign * mean <= DRIVEN_PART * before.supplyV) return undefined;
  return flows === false ? 'coast' : 'driven';
}

export interface BrakeSeen {
  peakA: number;
  at: number;
}

/** Highest short mean of the current against the run direction soon after the break. */
function brakePeak(trace: Trace, breakAt: number, to: number, sign: number): BrakeSeen | undefined {
  const current = trace.channels.motorCurrentA;
  if (!current) return undefined;
  const end = indexAt(trace, sampleAt(trace.timeS, breakAt) + BRAKE_WITHIN_S, breakAt, to);
  const width = Math.max(1, Math.round(BRAKE_MEAN_S / trace.stepS));
  let best: BrakeSeen | undefined;
  for (const [n, mean] of windowMeans(current, breakAt, end, width).entries()) {
    const peakA = -sign * mean;
    if (!Number.isNaN(peakA) && (!best || peakA > best.peakA))
      best = { peakA, at: breakAt + n + (width >> 1) };
  }
  return best;
}

/** A brake has gone by then (to a tenth of the speed: 11 to 28 ms). */
const BRAKE_GONE_S = 0.2;

/**
 * What still stands against the run direction, at its highest, once a brake has gone: hum, and a zero that has moved. A rig
 * knows its zero; 0 for it, and where the rest is too short.
 */
function leftBehind(trace: Trace, breakAt: number, to: number, sign: number): number {
  if (trace.source.feed !== undefined) return 0;
  const from = indexAt(trace, sampleAt(trace.timeS, breakAt) + BRAKE_GONE_S, breakAt, to);
  const endS = sampleAt(trace.timeS, Math.min(from, to - 1)) + BRAKE_WITHIN_S;
  return endS > sampleAt(trace.timeS, to - 1) ? 0 : Math.max(0, brakePeak(trace, from, to, sign)?.peakA ?? 0);
}

/** Motor voltage at the break, by a straight line through the first milliseconds after the kick, drawn back. */
function backEmf(
  trace: Trace,
  breakAt: number,
  to: number,
  sign: number,
  budgets: Budgets,
): Quantity | undefined {
  const voltage = trace.motorVoltageV;
  if (!voltage) return undefined;
  const breakS = sampleAt(trace.timeS, breakAt);
  const from = indexAt(trace, breakS + LOOK_FROM_S, breakAt, to);
  const end = indexAt(trace, breakS + STRAIGHT_S, breakAt, to);
  const line = new RunningLine();
  for (let i = from; i < end; i++) line.add(sampleAt(trace.timeS, i) - breakS, sign * sampleAt(voltage, i));
  const { n, meanX, meanY, sxx, slope } = line;
  if (n < 4 || sxx <= 0) return undefined;
  // Friction that is constant makes it a straight line, friction by speed an exponential: half of that bend, give or take.
  const bendV = bendAtStart(line);
  const value = meanY - slope * meanX + bendV;
  let squares = 0;
  for (let i = from; i < end; i++) {
    const residual =
      sign * sampleAt(voltage, i) - meanY - slope * (sampleAt(trace.timeS, i) - breakS - meanX);
    if (!Number.isNaN(residual)) squares += residual * residual;
  }
  const deviation = Math.sqrt(squares / (n - 2));
  const ofLead = (lead: 'leadAVoltageV' | 'leadBVoltageV') =>
    systematic(budgetOf(budgets, lead), value / 2, deviation / Math.SQRT2);
  return quantityOf(
    value,
    'V',
    [
      lineOf(deviation * Math.sqrt(1 / n + (meanX * meanX) / sxx), 'scatter about the line', n - 2),
      lineOf(Math.abs(bendV) / Math.sqrt(3), 'bend of the fall'),
      // The contact broke somewhere within the step that shows it.
      lineOf((Math.abs(slope) * trace.stepS) / Math.sqrt(3), 'moment of the break'),
      ...ofLead('leadAVoltageV'),
      ...ofLead('leadBVoltageV'),
    ],
    { fromS: breakS, toS: sampleAt(trace.timeS, end - 1) },
  );
}

/**
 * Half of what an exponential through the line's middle stands above the line at time 0, for readings spread evenly about
 * their mean time: of a quadratic part q t^2 a straight line misses q (mean^2 - variance) there.
 */
const bendAtStart = ({ slope, meanX, meanY, n, sxx }: RunningLine): number =>
  meanY > 0 ? ((slope * slope) / meanY / 4) * (meanX * meanX - sxx / n) : 0;
