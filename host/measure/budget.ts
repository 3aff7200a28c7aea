// Uncertainty budget of one channel: quantisation, gain and offset of the rig that took the capture.

import type { Capture, Channel } from '../capture/index.js';
import { type RigProfile, scaleRead } from '../profile/index.js';
import { normalCoverageFactor, normalProbability } from './distributions.js';
import type { Component } from './quantity.js';
import { roundingUncertainty } from './rounding.js';

export interface ChannelBudget {
  /** Step of one count; 0 when not known. */
  resolution: number;
  /** Relative standard uncertainty of the gain. */
  gain: number;
  /** Standard uncertainty of the offset, in the channel's unit. */
  offset: number;
  /** The same for a reading at an end of the range, see offsetAtEnd; from `offset` when absent. */
  offsetAtEnd?: number;
  /** Lowest and highest reading the converter can give; a reading there may be cut off. */
  minimum: number;
  maximum: number;
  /** What the zero moved by around the throw in question, as a standard uncertainty. */
  drift?: number;
  /** What may be left of a hum that was taken away, as a standard uncertainty. */
  hum?: number;
  /** The ends were seen in the capture, as readings cut off there; no rig states them. */
  endsSeen?: true;
}

/** Of a rig profile that tells none: a ceramic resonator, seldom beyond 0.3 % (common data sheet figure: 0.5 % at most). */
const RESONATOR_PERCENT = 0.15;
/** An instrument that takes captures has a quartz, good to 1e-4 (common data sheet figure, taken as rectangular). */
const QUARTZ = 0.0001 / Math.sqrt(3);

/** Relative standard uncertainty of the clock that times were taken by. */
export const clockUncertainty = (rig: RigProfile | undefined): number =>
  rig ? (rig.clockUncertaintyPercent ?? RESONATOR_PERCENT) / 100 : QUARTZ;

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

/** The same of what a run read, by its finer scales where it was read by those. */
export function fineBudgets({ channels }: Pick<Capture, 'channels'>, rig: RigProfile | undefined): Budgets {
  const told = budgetsOf(rig);
  for (const channel of rig?.readFinely ?? []) {
    const budget = told[channel];
    if (rig === undefined || budget === undefined) continue;
    const { perCount, gainUncertaintyPercent, offsetUncertainty } = scaleRead(
      rig,
      channel,
      channels[channel],
    );
    told[channel] = {
      ...budget,
      resolution: Math.abs(perCount),
      gain: gainUncertaintyPercent / 100,
      offset: offsetUncertainty,
    };
  }
  return told;
}

export const budgetOf = (budgets: Budgets, channel: Channel): ChannelBudget => budgets[channel] ?? UNKNOWN;

export interface BudgetLine extends Component {
  source: string;
}

const line = (
  source: string,
  standardUncertainty: number,
  degreesOfFreedom = Number.POSITIVE_INFINITY,
): BudgetLine => ({ standardUncertainty, degreesOfFreedom, source });

/** A reading so near an end of the range, in offset uncertainties, may have been moved out of sight. */
const NEAR_END = 2;

/**
 * Offset uncertainty of a reading at an end of its range. Offsets that move it beyond the end do not show, those the
 * other way show in full: 95 % of the readings lie within the 95 % quantile of a normal offset (1.645 deviations), not
 * between its two 2.5 % quantiles (1.96). Offsets beyond `seenFrom` were seen with everything off and taken away.
 */
export function offsetAtEnd(offset: number, seenFrom = Number.POSITIVE_INFINITY): number {
  if (!(offset > 0)) return 0;
  const unseen = normalProbability(seenFrom / offset);
  return (offset * normalCoverageFactor(2 * 0.95 * unseen - 1)) / normalCoverageFactor(0.95);
}

/**
 * What does not average out, for a mean near `value` of readings that scatter by `scatter`: gain, offset, and what the
 * scatter leaves of the rounding; one quiet reading keeps the whole of it.
 */
export function systematic(budget: ChannelBudget, value: number, scatter = 0): Component[] {
  const { offset, minimum, maximum, drift, hum } = budget;
  const isAtEnd = Math.min(value - minimum, maximum - value) < NEAR_END * offset;
  return [
    line('rounding', roundingUncertainty(budget.resolution, scatter)),
    line('gain and reference', Math.abs(value) * budget.gain),
    line('offset', isAtEnd ? (budget.offsetAtEnd ?? offsetAtEnd(offset)) : offset),
    ...(drift === undefined ? [] : [line('drift of the zero between the rests', drift)]),
    ...(hum === undefined ? [] : [line('what is left of the hum', hum)]),
  ];
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
  return [
    line('quantisation', budget.resolution / Math.sqrt(12)),
    line('noise', noise / Math.sqrt(readings), Math.max(1, readings - 1)),
    line('gain and reference', Math.abs(value) * budget.gain),
    line('offset', budget.offset),
  ];
}
