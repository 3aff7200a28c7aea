// Tolerance factors of a normal population: how many spreads from the centre the limits lie, so that they hold a stated
// part of all units with a stated confidence (NIST/SEMATECH e-Handbook 7.2.6.3).

import { chiSquaredQuantile, normalCoverageFactor } from '../measure/index.js';
import { noncentralTQuantile } from './noncentral-t.js';

/** What is known of centre and spread. Of n plain readings: `freedom` n - 1, `centreOf` n. */
export interface Known {
  /** Degrees of freedom of the spread. */
  freedom: number;
  /** The centre is as uncertain as a mean of so many independent readings; need not be whole. */
  centreOf: number;
}

export interface Stated {
  /** Part of all units that the limits hold, 0 to 1. */
  coverage: number;
  confidence: number;
}

/** Limits on both sides (W. G. Howe 1969). */
export function twoSidedFactor({ freedom, centreOf }: Known, { coverage, confidence }: Stated): number {
  const z = normalCoverageFactor(coverage);
  return z * Math.sqrt((freedom * (1 + 1 / centreOf)) / chiSquaredQuantile(1 - confidence, freedom));
}

/** A limit on one side alone: exact, by noncentral t. */
export function oneSidedFactor({ freedom, centreOf }: Known, { coverage, confidence }: Stated): number {
  const root = Math.sqrt(centreOf);
  const z = Math.sign(coverage - 0.5) * normalCoverageFactor(Math.abs(2 * coverage - 1));
  return noncentralTQuantile(confidence, freedom, z * root) / root;
}

/**
 * What each of `count` limits must hold by itself, so that all together hold what is stated, whatever hangs together
 * (Bonferroni's inequality, on coverage and on confidence).
 */
export const sharedBy = ({ coverage, confidence }: Stated, count: number): Stated => ({
  coverage: 1 - (1 - coverage) / count,
  confidence: 1 - (1 - confidence) / count,
});

/** Units from which least and largest of them alone would do, whatever the population looks like (Wilks 1941). */
export function unitsWithoutShape({ coverage, confidence }: Stated): number {
  const sure = (n: number): number => 1 - n * coverage ** (n - 1) + (n - 1) * coverage ** n;
  let n = 2;
  while (sure(n) < confidence && n < 1e6) n++;
  return n;
}
