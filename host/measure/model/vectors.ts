// What a fit spends its time in. The loops ask by index and stop where nothing is, which costs nothing there.

import { sampleAt } from '../../arrays/index.js';

/** Sum of the products of `a` and `b`, from one index on. */
export function dot(a: Float64Array, b: Float64Array, from = 0): number {
  let sum = 0;
  for (let i = from; i < a.length; i++) {
    const p = a[i];
    const q = b[i];
    if (p === undefined || q === undefined) break;
    sum += p * q;
  }
  return sum;
}

/** Adds `factor` times `b` to `a`, from one index on. */
export function addScaled(a: Float64Array, b: Float64Array, factor: number, from = 0): void {
  for (let i = from; i < a.length; i++) {
    const p = a[i];
    const q = b[i];
    if (p === undefined || q === undefined) break;
    a[i] = p + factor * q;
  }
}

export function addTo(values: Float64Array, place: number, by: number): void {
  values[place] = sampleAt(values, place) + by;
}
