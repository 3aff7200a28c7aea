// Sparse factors against Gaussian elimination with full pivoting on the same numbers, and one order of pivots over
// contacts that open and close.

import { expect, it } from 'vitest';
import { CircuitError, seededRandom } from '../../host/circuit/index.js';
import { Layout } from '../../host/circuit/solver/layout.js';
import { Orders } from '../../host/circuit/solver/orders.js';
import { LEAK_S, Stamps } from '../../host/circuit/solver/stamps.js';

const SEED = 45;

/** Solution by elimination with full pivoting; Golub and Van Loan, Matrix Computations, 3.4.8. */
function fullPivoting(matrix: number[][], right: number[]): number[] {
  const n = right.length;
  const rows = matrix.map((row, i) => [...row, right[i]!]);
  const columns = Array.from({ length: n }, (_, j) => j);
  for (let k = 0; k < n; k++) {
    let [row, column] = [k, k];
    for (let i = k; i < n; i++)
      for (let j = k; j < n; j++)
        if (Math.abs(rows[i]![columns[j]!]!) > Math.abs(rows[row]![columns[column]!]!))
          [row, column] = [i, j];
    [rows[k], rows[row]] = [rows[row]!, rows[k]!];
    [columns[k], columns[column]] = [columns[column]!, columns[k]!];
    for (let i = k + 1; i < n; i++) {
      const factor = rows[i]![columns[k]!]! / rows[k]![columns[k]!]!;
      for (let j = 0; j <= n; j++) rows[i]![j]! -= factor * rows[k]![j]!;
    }
  }
  const out = new Array<number>(n).fill(0);
  for (let k = n - 1; k >= 0; k--) {
    const row = rows[k]!;
    const rest = row
      .slice(0, n)
      .reduce((sum, value, j) => sum + (columns.indexOf(j) > k ? value * out[j]! : 0), 0);
    out[columns[k]!] = (row[n]! - rest) / row[columns[k]!]!;
  }
  return out;
}

function solved(orders: Orders, stamps: Stamps, weight: number, right: number[]): number[] {
  const out = new Float64Array(stamps.length);
  orders.factorise(stamps, weight).solve(Float64Array.from([0, ...right]), out);
  return [...out.slice(1)];
}

function layoutOf(size: number): Layout {
  const layout = new Layout();
  for (let i = 1; i <= size; i++) layout.node(`n${i}`);
  return layout;
}

it(`solves random ladders with inductances as full pivoting does, contacts open or closed (seed ${SEED})`, () => {
  const random = seededRandom(SEED);
  for (let round = 0; round < 40; round++) {
    const nodes = 6;
    const size = nodes + 2;
    const orders = new Orders(layoutOf(size));
    for (const closed of [true, false, true]) {
      const stamps = new Stamps(size + 1);
      for (let node = 1; node <= nodes; node++) {
        stamps.conductance(node, 0, 10 ** (4 * random.uniform() - 3));
        const isContact = node % 2 === 0;
        stamps.conductance(
          node,
          (node % nodes) + 1,
          isContact && !closed ? LEAK_S : 10 ** (3 * random.uniform()),
        );
      }
      for (const [branch, node] of [
        [nodes + 1, 1],
        [nodes + 2, 4],
      ] as const) {
        stamps.branch(node, 0, branch);
        stamps.add(branch, node, -1);
        stamps.derivative(branch, branch, 1e-3 * (1 + random.uniform()));
      }
      orders.admit(stamps);
      for (const weight of [1e-9, 1e-4, 0.06]) {
        const matrix = Array.from({ length: size }, (_, i) =>
          Array.from({ length: size }, (_, j) => {
            const a = stamps.a[(i + 1) * (size + 1) + j + 1]!;
            const e = stamps.e.reduce(
              (sum, { row, column, value }) => sum + (row === i + 1 && column === j + 1 ? value : 0),
              0,
            );
            return stamps.isAlgebraic(i + 1) ? a : weight * a + e;
          }),
        );
        const right = Array.from({ length: size }, () => random.normal());
        const [seen, truth] = [solved(orders, stamps, weight, right), fullPivoting(matrix, right)];
        const largest = Math.max(...truth.map(Math.abs));
        seen.forEach((value, i) => {
          expect(Math.abs(value - truth[i]!)).toBeLessThan(1e-9 * largest);
        });
      }
    }
  }
});

it('names an unknown that nothing determines', () => {
  const orders = new Orders(layoutOf(3));
  const stamps = new Stamps(4);
  stamps.conductance(1, 0, 1);
  stamps.conductance(3, 0, 1);
  orders.admit(stamps);
  expect(() => orders.factorise(stamps, 1)).toThrow(CircuitError);
  expect(() => orders.factorise(stamps, 1)).toThrow(/no unique solution at n2:/);
});
