// What an error is measured against: each unknown's running peak, with a floor from the peak of its kind.

import { byteAt, sampleAt } from '../../arrays/index.js';
import type { Layout, UnknownKind } from './layout.js';

/** An unknown that stays small is held to this share of the largest of its kind. Choice of this solver. */
const FLOOR_SHARE = 0.02;

/** Peaks before anything has moved: V, A, rad/s, Wb. */
const FIRST_PEAK: Record<UnknownKind, number> = {
  voltage: 1e-3,
  current: 1e-4,
  speed: 1e-2,
  flux: 1e-6,
  derivative: 1,
};
const KINDS = Object.keys(FIRST_PEAK);

export class Weights {
  readonly #peak: Float64Array;
  readonly #kind: Uint8Array;
  readonly #kindPeak = Float64Array.from(Object.values(FIRST_PEAK));
  readonly #inverse: Float64Array;

  constructor(
    { length, kinds, largestSourceV }: Layout,
    readonly relativeTolerance: number,
  ) {
    this.#peak = new Float64Array(length);
    this.#inverse = new Float64Array(length);
    this.#kind = Uint8Array.from(kinds, (kind) => KINDS.indexOf(kind));
    this.#kindPeak[KINDS.indexOf('voltage')] = Math.max(FIRST_PEAK.voltage, largestSourceV);
    this.#refresh();
  }
  peak(index: number): number {
    const ofKind = sampleAt(this.#kindPeak, byteAt(this.#kind, index));
    return Math.max(sampleAt(this.#peak, index), FLOOR_SHARE * ofKind);
  }
  raise(x: Float64Array): void {
    let isRaised = false;
    for (let i = 1; i < x.length; i++) {
      const size = Math.abs(sampleAt(x, i));
      if (size <= sampleAt(this.#peak, i)) continue;
      this.#peak[i] = size;
      isRaised = true;
      const kind = byteAt(this.#kind, i);
      if (size > sampleAt(this.#kindPeak, kind)) this.#kindPeak[kind] = size;
    }
    if (isRaised) this.#refresh();
  }
  #refresh(): void {
    for (let i = 1; i < this.#peak.length; i++) {
      const isWeighed = KINDS[byteAt(this.#kind, i)] !== 'derivative';
      this.#inverse[i] = isWeighed ? 1 / (this.relativeTolerance * this.peak(i)) : 0;
    }
  }
  /** Largest error over its weight, the size at `x` counting as peak. NaN counts as infinite. */
  norm(error: Float64Array, x: Float64Array): number {
    let worst = 0;
    for (let i = 1; i < error.length; i++) {
      const inverse = sampleAt(this.#inverse, i);
      if (inverse === 0) continue;
      const growth = Math.abs(sampleAt(x, i)) * this.relativeTolerance * inverse;
      const ratio = (Math.abs(sampleAt(error, i)) * inverse) / Math.max(growth, 1);
      if (!(ratio <= worst)) worst = Number.isNaN(ratio) ? Number.POSITIVE_INFINITY : ratio;
    }
    return worst;
  }
  distance(a: Float64Array, b: Float64Array): number {
    let worst = 0;
    for (let i = 1; i < a.length; i++) {
      const ratio = Math.abs(sampleAt(a, i) - sampleAt(b, i)) * sampleAt(this.#inverse, i);
      if (!(ratio <= worst)) worst = Number.isNaN(ratio) ? Number.POSITIVE_INFINITY : ratio;
    }
    return worst;
  }
}
