// Whether what a fit leaves over is noise: chi-squared, lag-1 and runs of block means of the residuals. Says nothing
// about which part of the model fails.

import { itemAt, sampleAt } from '../../arrays/index.js';
import { chiSquaredQuantile } from '../distributions.js';

export interface ResidualTest {
  /** Blocks of residuals that were looked at. */
  blocks: number;
  /** Chi-squared of the block means over its degrees of freedom; 1 for noise alone. */
  reducedChiSquared: number;
  /** The same figure that noise alone exceeds once in a thousand. */
  chiSquaredLimit: number;
  /** Lag-1 correlation of the block means. */
  lag1: number;
  /** Runs of one sign against the number expected (Wald and Wolfowitz), in deviations; far below 0 is structure. */
  runsDeviation: number;
  /** What is left over beyond noise, as a part of the current that flows. */
  structure: number;
}

/** Block of residuals, s: longer than L/R, shorter than a run-up. */
const BLOCK_S = 0.01;

export interface ResidualInput {
  timeS: Float64Array;
  /** In units of the reading (A). */
  residual: Float64Array;
  /** Deviation of each residual's mean over many rows, so that block means have deviation / sqrt(rows). */
  deviation: Float64Array;
  used: (row: number) => boolean;
  /** Size of the reading that the residual is a part of. */
  readingRms: number;
  parameters: number;
}

export function testResiduals(input: ResidualInput): ResidualTest {
  const { timeS, residual, deviation, used, readingRms, parameters } = input;
  const means: number[] = [];
  const variances: number[] = [];
  for (let from = 0; from < timeS.length; ) {
    let to = from;
    let weight = 0;
    let sum = 0;
    while (to < timeS.length && sampleAt(timeS, to) - sampleAt(timeS, from) < BLOCK_S) {
      if (used(to)) {
        const w = 1 / sampleAt(deviation, to) ** 2;
        weight += w;
        sum += w * sampleAt(residual, to);
      }
      to++;
    }
    if (weight > 0) {
      means.push(sum / weight);
      variances.push(1 / weight);
    }
    from = Math.max(to, from + 1);
  }
  const blocks = means.length;
  const freedom = Math.max(1, blocks - parameters);
  let chi = 0;
  let square = 0;
  let noise = 0;
  let products = 0;
  let total = 0;
  means.forEach((mean, k) => {
    chi += mean ** 2 / itemAt(variances, k);
    square += mean ** 2;
    noise += itemAt(variances, k);
    const z = mean / Math.sqrt(itemAt(variances, k));
    total += z * z;
    if (k > 0) products += (z * itemAt(means, k - 1)) / Math.sqrt(itemAt(variances, k - 1));
  });
  const above = means.filter((mean) => mean > 0).length;
  const below = blocks - above;
  const runs = means.filter((mean, k) => k === 0 || mean > 0 !== itemAt(means, k - 1) > 0).length;
  const expected = (2 * above * below) / Math.max(1, blocks) + 1;
  const spread = Math.sqrt(Math.max(1e-9, ((expected - 1) * (expected - 2)) / Math.max(1, blocks - 1)));
  return {
    blocks,
    reducedChiSquared: chi / freedom,
    chiSquaredLimit: chiSquaredQuantile(0.999, freedom) / freedom,
    lag1: total > 0 ? products / total : 0,
    runsDeviation: above > 0 && below > 0 ? (runs - expected) / spread : 0,
    structure: readingRms > 0 ? Math.sqrt(Math.max(0, square - noise) / Math.max(1, blocks)) / readingRms : 0,
  };
}

/** No correlation is taken for more: blocks that never forget would tell nothing at all. */
const MOST_LAG = 0.9;

/**
 * By what the variance of a mean of many blocks stands above that of noise: chi-squared where it is more than noise
 * makes, and more where blocks hang together, (1 + r) / (1 - r) of a first-order process. At least 1.
 */
export function excessOf({ reducedChiSquared, chiSquaredLimit, lag1, blocks }: ResidualTest): number {
  if (blocks < 3 || !(reducedChiSquared > chiSquaredLimit)) return Math.max(1, reducedChiSquared);
  const r = Math.min(MOST_LAG, Math.max(0, lag1));
  return (reducedChiSquared * (1 + r)) / (1 - r);
}
