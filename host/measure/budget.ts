// Uncertainty budget of one channel: quantisation, gain and offset of the rig that took the capture.

import type { Channel } from '../capture/index.js';
import type { RigProfile } from '../profile/index.js';
import type { Component } from './quantity.js';

export interface ChannelBudget {
  /** Step of one count; 0 when not known. */
  resolution: number;
  /** Relative standard uncertainty of the gain. */
  gain: number;
  /** Standard uncertainty of the offset, in the channel's unit. */
  offset: number;
  /** Lowest and highest reading the converter can give; a reading there may be cut off. */
  minimum: number;
  maximum: number;
}

/**
 * Relative standard uncertainty of the clock that times were taken by: a board's ceramic resonator is good for 0.5 %
 * (common data sheet figure, taken as rectangular); an instrument that takes captures has a quartz.
 */
export const clockUncertainty = (rig: RigProfile | undefined): number =>
  (rig ? 0.005 : 0.0001) / Math.sqrt(3);

/** Budget of every channel; without a rig profile only scatter is known. */
export type Budgets = Partial<Record<Channel, ChannelBudget>>;

const UNKNOWN: ChannelBudget = {
  resolution: 0,
  gain: 0,
  offset: 0,
  minimum: Number.NEGATIVE_INFINITY,
  maximum: Number.POSITIVE_INFINITY,
};

export function budgetsOf(rig: RigProfile | undefined): Budgets {
  if (!rig) return {};
  const budgets: Budgets = {};
  for (const [channel, scale] of Object.entries(rig.scales)) {
    const top = scale.atZeroCount + scale.perCount * (2 ** rig.adcBits - 1);
    budgets[channel as Channel] = {
      resolution: Math.abs(scale.perCount),
      gain: scale.gainUncertaintyPercent / 100,
      offset: scale.offsetUncertainty,
      minimum: Math.min(scale.atZeroCount, top),
      maximum: Math.max(scale.atZeroCount, top),
    };
  }
  return budgets;
}

export const budgetOf = (budgets: Budgets, channel: Channel): ChannelBudget => budgets[channel] ?? UNKNOWN;

/**
 * What does not average out, for a reading of `value`: gain and offset, and one count's rounding
 * (a count wide, u = count / sqrt(12), GUM F.2.2.1), kept whole because a quiet reading may sit between counts.
 */
export function systematic(budget: ChannelBudget, value: number): Component[] {
  return [
    { standardUncertainty: budget.resolution / Math.sqrt(12), degreesOfFreedom: Number.POSITIVE_INFINITY },
    { standardUncertainty: Math.abs(value) * budget.gain, degreesOfFreedom: Number.POSITIVE_INFINITY },
    { standardUncertainty: budget.offset, degreesOfFreedom: Number.POSITIVE_INFINITY },
  ];
}

export interface BudgetLine extends Component {
  source: string;
}

/**
 * The budget of a mean of `readings` near `value`, line by line, largest sources told apart. Quantisation as GUM F.2.2.1;
 * the converter's reference is calibrated together with the gain and cannot be told from it.
 */
export function budgetLines(
  rig: RigProfile,
  channel: Channel,
  { value, noise, readings }: { value: number; noise: number; readings: number },
): BudgetLine[] {
  const budget = budgetOf(budgetsOf(rig), channel);
  const exact = Number.POSITIVE_INFINITY;
  return [
    {
      source: 'quantisation',
      standardUncertainty: budget.resolution / Math.sqrt(12),
      degreesOfFreedom: exact,
    },
    {
      source: 'noise',
      standardUncertainty: noise / Math.sqrt(readings),
      degreesOfFreedom: Math.max(1, readings - 1),
    },
    {
      source: 'gain and reference',
      standardUncertainty: Math.abs(value) * budget.gain,
      degreesOfFreedom: exact,
    },
    { source: 'offset', standardUncertainty: budget.offset, degreesOfFreedom: exact },
  ];
}
