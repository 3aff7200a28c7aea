// Propagation of uncertainty by the GUM (JCGM 100:2008): inputs with degrees of freedom and correlations, any number of
// results from the same inputs. Held to the worked examples H.1 and H.2 of the GUM in the tests.

import { itemAt } from '../arrays/index.js';
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
  const parts = inputs.map(({ value, standardUncertainty: u, degreesOfFreedom }, i) => {
    const at = (x: number): number => f(...values.toSpliced(i, 1, x));
    const contribution = u === 0 ? 0 : (at(value + u) - at(value - u)) / 2;
    return { contribution, standardUncertainty: Math.abs(contribution), degreesOfFreedom };
  });
  const contributions = parts.map(({ contribution }) => contribution);
  const value = f(...values);
  if (!correlation) return { value, ...combine(parts), contributions };
  const counting = parts.filter(({ contribution }) => contribution !== 0);
  return {
    value,
    standardUncertainty: Math.sqrt(Math.max(0, covarianceOf(contributions, contributions, correlation))),
    degreesOfFreedom: Math.min(
      Number.POSITIVE_INFINITY,
      ...counting.map(({ degreesOfFreedom }) => degreesOfFreedom),
    ),
    contributions,
  };
}

/** Covariance of two results of the same inputs, from their contributions (GUM H.2.3). */
export function covarianceOf(
  first: readonly number[],
  second: readonly number[],
  correlation: Correlation = () => 0,
): number {
  const pairs = first.map((value, i) => [value, itemAt(second, i)] as const);
  let sum = 0;
  pairs.forEach(([a, b], i) => {
    sum += a * b;
    for (let j = i + 1; j < pairs.length; j++) {
      const [c, d] = itemAt(pairs, j);
      sum += (a * d + c * b) * correlation(i, j);
    }
  });
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
  const products = first.reduce((sum, value, i) => sum + (value - a.mean) * (itemAt(second, i) - b.mean), 0);
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
