// What an error is measured against: each unknown's running peak, with a floor from the peak of its kind.

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
const KINDS: UnknownKind[] = ['voltage', 'current', 'speed', 'flux', 'derivative'];

export class Weights {
  readonly #peak: Float64Array;
  readonly #kind: Uint8Array;
  readonly #kindPeak: Float64Array;
  readonly #inverse: Float64Array;

  constructor(
    layout: Layout,
    readonly relativeTolerance: number,
  ) {
    this.#peak = new Float64Array(layout.length);
    this.#inverse = new Float64Array(layout.length);
    this.#kind = Uint8Array.from(layout.kinds, (kind) => KINDS.indexOf(kind));
    this.#kindPeak = Float64Array.from(KINDS, (kind) => FIRST_PEAK[kind]);
    this.#kindPeak[KINDS.indexOf('voltage')] = Math.max(FIRST_PEAK.voltage, layout.largestSourceV);
    this.#refresh();
  }
  peak(index: number): number {
    return Math.max(this.#peak[index]!, FLOOR_SHARE * this.#kindPeak[this.#kind[index]!]!);
  }
  raise(x: Float64Array): void {
    let isRaised = false;
    for (let i = 1; i < x.length; i++) {
      const size = Math.abs(x[i]!);
      if (size <= this.#peak[i]!) continue;
      this.#peak[i] = size;
      isRaised = true;
      const kind = this.#kind[i]!;
      if (size > this.#kindPeak[kind]!) this.#kindPeak[kind] = size;
    }
    if (isRaised) this.#refresh();
  }
  #refresh(): void {
    for (let i = 1; i < this.#peak.length; i++) {
      const isWeighed = KINDS[this.#kind[i]!] !== 'derivative';
      this.#inverse[i] = isWeighed ? 1 / (this.relativeTolerance * this.peak(i)) : 0;
    }
  }
  /** Largest error over its weight, the size at `x` counting as peak. NaN counts as infinite. */
  norm(error: Float64Array, x: Float64Array): number {
    let worst = 0;
    for (let i = 1; i < error.length; i++) {
      const inverse = this.#inverse[i]!;
      if (inverse === 0) continue;
      const growth = Math.abs(x[i]!) * this.relativeTolerance * inverse;
      const ratio = (Math.abs(error[i]!) * inverse) / Math.max(growth, 1);
      if (!(ratio <= worst)) worst = Number.isNaN(ratio) ? Number.POSITIVE_INFINITY : ratio;
    }
    return worst;
  }
  distance(a: Float64Array, b: Float64Array): number {
    let worst = 0;
    for (let i = 1; i < a.length; i++) {
      const ratio = Math.abs(a[i]! - b[i]!) * this.#inverse[i]!;
      if (!(ratio <= worst)) worst = Number.isNaN(ratio) ? Number.POSITIVE_INFINITY : ratio;
    }
    return worst;
  }
}
