// Propagation of uncertainty by the GUM (JCGM 100:2008): inputs with degrees of freedom and correlations, any number of
// results from the same inputs. Held to the worked examples H.1 and H.2 of the GUM in the tests.

import { type Component, combine } from './quantity.js';
import { summarise } from './statistics.js';

export interface Input extends Component {
  value: number;
}

export interface Propagated extends Input {
  /** Contribution of each input: sensitivity times its standard uncertainty, sign kept. */
  contributions: number[];
}

/** Correlation coefficient of inputs i and j, i < j. */
export type Correlation = (i: number, j: number) => number;

/**
 * Result of `f` and its combined standard uncertainty (GUM 5.1.2, 5.2.2). Sensitivities are half the change over plus and
 * minus one standard uncertainty (5.1.4, note 2). Effective degrees of freedom by Welch and Satterthwaite (G.4.1), which
 * holds for independent inputs only; for correlated ones the smallest of any input that counts is taken, the safe side.
 */
export function propagate(
  f: (...x: number[]) => number,
  inputs: readonly Input[],
  correlation?: Correlation,
): Propagated {
  const values = inputs.map(({ value }) => value);
  const contributions = inputs.map(({ standardUncertainty: u }, i) => {
    if (u === 0) return 0;
    const at = (x: number): number => f(...values.map((value, k) => (k === i ? x : value)));
    return (at(values[i]! + u) - at(values[i]! - u)) / 2;
  });
  const value = f(...values);
  if (!correlation) {
    const parts = contributions.map((part, i) => ({
      standardUncertainty: Math.abs(part),
      degreesOfFreedom: inputs[i]!.degreesOfFreedom,
    }));
    return { value, ...combine(parts), contributions };
  }
  const counting = inputs.filter((_, i) => contributions[i] !== 0);
  return {
    value,
    standardUncertainty: Math.sqrt(Math.max(0, covarianceOf(contributions, contributions, correlation))),
    degreesOfFreedom: Math.min(Number.POSITIVE_INFINITY, ...counting.map((input) => input.degreesOfFreedom)),
    contributions,
  };
}

/** Covariance of two results of the same inputs, from their contributions (GUM H.2.3). */
export function covarianceOf(
  first: readonly number[],
  second: readonly number[],
  correlation: Correlation = () => 0,
): number {
  let sum = 0;
  for (let i = 0; i < first.length; i++) {
    sum += first[i]! * second[i]!;
    for (let j = i + 1; j < first.length; j++)
      sum += (first[i]! * second[j]! + first[j]! * second[i]!) * correlation(i, j);
  }
  return sum;
}

/** Mean of repeated readings with the deviation of the mean (GUM 4.2.3). */
export function meanOf(readings: readonly number[]): Input {
  const { count, mean, deviation } = summarise(readings);
  return { value: mean, standardUncertainty: deviation / Math.sqrt(count), degreesOfFreedom: count - 1 };
}

/** Correlation of the means of simultaneous readings (GUM 5.2.3, eq. 17). */
export function correlationOf(first: readonly number[], second: readonly number[]): number {
  const a = summarise(first);
  const b = summarise(second);
  let products = 0;
  for (let i = 0; i < first.length; i++) products += (first[i]! - a.mean) * (second[i]! - b.mean);
  return products / (first.length - 1) / (a.deviation * b.deviation);
}

const EXACT = Number.POSITIVE_INFINITY;

/** Anywhere within plus and minus `half` with equal chance (GUM 4.3.7). */
export const rectangular = (half: number, degreesOfFreedom = EXACT): Component => ({
  standardUncertainty: half / Math.sqrt(3),
  degreesOfFreedom,
});

/** A cycle of amplitude `half` met at any time: the U-shaped distribution (GUM H.1.3.4). */
export const arcsine = (half: number, degreesOfFreedom = EXACT): Component => ({
  standardUncertainty: half / Math.SQRT2,
  degreesOfFreedom,
});

/** Degrees of freedom of an uncertainty that is itself known to this part only (GUM G.4.2, eq. G.3). */
export const freedomOf = (partUnsure: number): number => 1 / (2 * partUnsure * partUnsure);
