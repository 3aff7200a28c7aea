// Order statistics without sorting: Hoare's selection, CACM 4 (1961) 321, algorithm 65.

import { sampleAt } from '../arrays/index.js';

/** Reorders `values[0..count)` so that the one of rank `rank` stands at its place, none larger before it; returns it. */
export function select(values: Float64Array, count: number, rank: number): number {
  let low = 0;
  let high = count - 1;
  while (low < high) {
    const pivot = middleOf(
      sampleAt(values, low),
      sampleAt(values, (low + high) >> 1),
      sampleAt(values, high),
    );
    let i = low;
    let j = high;
    while (i <= j) {
      // Asked for by index here: in the innermost loop of every median an accessor costs twice over.
      let left = values[i];
      while (left !== undefined && left < pivot) left = values[++i];
      let right = values[j];
      while (right !== undefined && right > pivot) right = values[--j];
      if (i > j || left === undefined || right === undefined) break;
      values[i++] = right;
      values[j--] = left;
    }
    if (rank <= j) high = j;
    else if (rank >= i) low = i;
    else break;
  }
  return sampleAt(values, rank);
}

const middleOf = (a: number, b: number, c: number): number =>
  Math.max(Math.min(a, b), Math.min(Math.max(a, b), c));
