// How far apart from the centre readings taken together may lie: the limit of Hotelling's T squared whose region holds a
// stated part of a normal population with a stated confidence. Drawn as by Krishnamoorthy and Mondal (2006; Krishnamoorthy
// and Mathew, Statistical Tolerance Regions, 2009, chapter 9): many sets of as many units, of each the T squared that
// holds the part (three cumulants), of those the one that so many sets stay below. A shrunk correlation has no table.

import { itemAt } from '../arrays/index.js';
import { type SeededRandom, seededRandom } from '../circuit/index.js';
import { chiSquaredQuantile, normalCoverageFactor } from '../measure/index.js';
import { shrunkCorrelation } from './shrinkage.js';
import { dot, inverseOf, type Matrix, rootOf, times } from './symmetric.js';
import type { Stated } from './tolerance.js';

/** Sets drawn of each population: of a confidence of 95 % the limit is then known to 2 or 3 %, its root to half of that. */
const SETS = 400;
const SEED = 20_041_231;

export interface JointAsked {
  units: number;
  stated: Stated;
  /** How the readings of the population hang together; the limit holds for each. */
  populations: readonly Matrix[];
  /** False: the correlation as it is sampled, which takes more units than quantities. */
  isShrunk?: boolean;
  sets?: number;
}

/** Limit of T squared: the largest that one of the populations asks for. */
export function jointLimitSquared({ populations, ...asked }: JointAsked): number {
  return Math.max(...populations.map((population) => limitOf(population, asked)));
}

function limitOf(
  population: Matrix,
  { units, stated, isShrunk = true, sets = SETS }: Omit<JointAsked, 'populations'>,
): number {
  const random = seededRandom(SEED);
  const root = rootOf(population);
  const z = normalCoverageFactor(2 * stated.coverage - 1);
  const limits = Array.from({ length: sets }, () => {
    const rows = Array.from({ length: units }, () => drawn(root, random));
    const { mean, spread, standard } = standardised(rows);
    const correlation = isShrunk ? shrunkCorrelation(standard).correlation : sampleOf(standard);
    const inverse = inverseOf(correlation);
    const weights = inverse.map((row, i) => row.map((w, j) => w / itemAt(spread, i) / itemAt(spread, j)));
    const square = squareOf(weights, population, mean);
    return { square, nearly: nearly(square, z) };
  }).sort((a, b) => a.nearly - b.nearly);
  const { square } = itemAt(limits, Math.min(sets - 1, Math.ceil(stated.confidence * sets)));
  return squareHolding(stated.coverage, square);
}

const drawn = (root: Matrix, random: SeededRandom): number[] => {
  const plain = root.map(() => random.normal());
  return root.map((row) => dot(row, plain));
};

const sampleOf = (standard: Matrix): number[][] =>
  (standard[0] ?? []).map((_, i) =>
    (standard[0] ?? []).map(
      (__, j) => standard.reduce((sum, row) => sum + itemAt(row, i) * itemAt(row, j), 0) / standard.length,
    ),
  );

export interface Standardised {
  mean: number[];
  /** Standard deviations. */
  spread: number[];
  /** Rows with mean 0 and mean square 1 in each column. */
  standard: number[][];
}

/** @param rows two at least, one of each unit */
export function standardised(rows: Matrix): Standardised {
  const count = rows.length;
  const columns = (rows[0] ?? []).map((_, k) => rows.map((row) => itemAt(row, k)));
  const mean = columns.map((column) => column.reduce((sum, value) => sum + value, 0) / count);
  const squares = columns.map((column, k) =>
    column.reduce((sum, value) => sum + (value - itemAt(mean, k)) ** 2, 0),
  );
  return {
    mean,
    spread: squares.map((sum) => Math.sqrt(sum / (count - 1))),
    standard: rows.map((row) =>
      row.map((value, k) => (value - itemAt(mean, k)) / Math.sqrt(itemAt(squares, k) / count)),
    ),
  };
}

/** A shifted and scaled chi-squared: its mean, its variance, its degrees of freedom. */
interface Square {
  first: number;
  second: number;
  freedom: number;
}

/**
 * (x - mean)' weights (x - mean) for x of a normal population with mean 0, by its three cumulants (Buckley and Eagleson
 * 1988).
 */
function squareOf(weights: Matrix, population: Matrix, mean: readonly number[]): Square {
  const product = weights.map((row) => times(population, row));
  const across = product.map((_, j) => product.map((row) => itemAt(row, j)));
  const squared = product.map((row) => across.map((column) => dot(row, column)));
  const trace = (matrix: Matrix): number => matrix.reduce((sum, row, i) => sum + itemAt(row, i), 0);
  const third = squared.reduce((sum, row, i) => sum + dot(row, itemAt(across, i)), 0);
  const pull = times(weights, mean);
  const moved = times(population, pull);
  const again = times(population, times(weights, moved));
  const first = trace(product) + dot(mean, pull);
  const second = 2 * trace(squared) + 4 * dot(pull, moved);
  const last = 8 * third + 24 * dot(pull, again);
  return { first, second, freedom: (8 * second ** 3) / last ** 2 };
}

/** A good approximation, for putting sets in their order (Wilson and Hilferty 1931). */
function nearly({ first, second, freedom }: Square, z: number): number {
  const of = 2 / (9 * freedom);
  return first + (freedom * (1 - of + z * Math.sqrt(of)) ** 3 - freedom) * Math.sqrt(second / (2 * freedom));
}

const squareHolding = (part: number, { first, second, freedom }: Square): number =>
  first + (chiSquaredQuantile(part, freedom) - freedom) * Math.sqrt(second / (2 * freedom));
