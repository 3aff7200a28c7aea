// The current that a throw is read by: the motor's where it was sampled, else the feed's; positive into the motor.

import { type Budgets, budgetOf, type ChannelBudget } from './budget.js';
import { median } from './statistics.js';
import type { Trace } from './trace.js';

export interface DriveCurrent {
  trace: Trace;
  /** Whole trace, the sign of the throw taken out. */
  values: Float64Array;
  channel: 'motorCurrentA' | 'feedCurrentA';
  noiseA: number;
  budget: ChannelBudget;
}

/** A motor between whose leads stands more than this part of the supply is driven that way (common practice, no source). */
const DRIVEN_PART = 0.2;

/**
 * Which way the motor is driven over samples [from, to): by its voltage, where that is clear, else by its signed current,
 * else as it was commanded.
 */
export function driveSign(
  trace: Trace,
  [from, to]: readonly [number, number],
  commanded: 1 | -1,
  supplyV: number,
): number {
  if (trace.motorVoltageV) {
    const usualV = median(trace.motorVoltageV, from, to);
    if (Math.abs(usualV) > DRIVEN_PART * supplyV) return Math.sign(usualV);
  }
  const { motorCurrentA } = trace.channels;
  return (motorCurrentA && Math.sign(median(motorCurrentA, from, to))) || commanded;
}

/** Undefined where no current was sampled. */
export function driveCurrent(trace: Trace, sign: number, budgets: Budgets): DriveCurrent | undefined {
  const { motorCurrentA, feedCurrentA } = trace.channels;
  const channel = motorCurrentA ? 'motorCurrentA' : 'feedCurrentA';
  const raw = motorCurrentA ?? feedCurrentA;
  if (!raw) return undefined;
  const values = motorCurrentA && sign < 0 ? raw.map((value) => -value) : raw;
  return { trace, values, channel, noiseA: trace.noise[channel] ?? 0, budget: budgetOf(budgets, channel) };
}
