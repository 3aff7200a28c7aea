// Blade fuse: a resistance until its melting time is used up. The melting time at a current lies between the two edges
// of the published opening-time gates, log-log between their rows.

import { z } from 'zod';
import type { Layout } from '../solver/layout.js';
import { LEAK_S, type Stamps } from '../solver/stamps.js';
import { elementKind, elementSchema, ends, positive, share } from './kind.js';
import { Part } from './part.js';

const schema = elementSchema('fuse', {
  ...ends,
  ratedA: positive,
  resistanceOhm: positive,
  /** 0 = the quick edge of the published band, 1 = the slow edge. */
  bandPosition: share,
  blown: z.boolean().optional(),
});
export type FuseElement = z.infer<typeof schema>;

/** Gates [multiple of rating, shortest s, longest s]: ISO 8820-3 type C and F. The rows 1.35, 1.6 and 2 agree with the
 * Littelfuse 287 sheet; the others are from memory. */
const GATES: readonly (readonly [number, number, number])[] = [
  [1.1, 360_000, 3_600_000],
  [1.35, 0.75, 600],
  [1.6, 0.25, 50],
  [2, 0.15, 5],
  [3.5, 0.04, 0.5],
  [6, 0.02, 0.1],
];
/** Cooling time constant below the carrying current, s. Value from memory. */
const COOLING_S = 10;

/** Opening time of a fuse at `multiple` of its rating; `bandPosition` 0 = quick edge, 1 = slow edge. Infinite below 1.1. */
export function meltingTimeS(multiple: number, bandPosition: number): number {
  if (multiple < GATES[0]![0]) return Number.POSITIVE_INFINITY;
  let row = 1;
  while (row < GATES.length - 1 && multiple > GATES[row]![0]) row++;
  const [m0, min0, max0] = GATES[row - 1]!;
  const [m1, min1, max1] = GATES[row]!;
  const logAt = (min: number, max: number) =>
    Math.log(min) * (1 - bandPosition) + Math.log(max) * bandPosition;
  const part = Math.log(multiple / m0) / Math.log(m1 / m0);
  const start = logAt(min0, max0);
  return Math.exp(start + part * (logAt(min1, max1) - start));
}

export class FusePart extends Part {
  override readonly hasMemory = true;
  override readonly hasGuard = true;
  readonly #a: number;
  readonly #b: number;
  /** Share of the melting time used up. */
  #used = 0;

  constructor(
    readonly element: FuseElement,
    readonly layout: Layout,
  ) {
    super(element.id);
    this.#a = layout.node(element.a);
    this.#b = layout.node(element.b);
    this.mode = element.blown ? 1 : 0;
  }
  #siemens(): number {
    return this.mode === 1 ? LEAK_S : 1 / this.element.resistanceOhm;
  }
  stamp(stamps: Stamps): void {
    stamps.conductance(this.#a, this.#b, this.#siemens());
  }
  #usedAt(s: number): number {
    if (s === 0 || this.mode === 1) return this.#used;
    const { ratedA, resistanceOhm, bandPosition } = this.element;
    const effectiveA = Math.sqrt(this.layout.step.meanSquareV2(this.#a, this.#b, s)) / resistanceOhm;
    const meltS = meltingTimeS(effectiveA / ratedA, bandPosition);
    const timeS = this.layout.step.sizeS * s;
    if (meltS < Number.POSITIVE_INFINITY) return this.#used + timeS / meltS;
    return this.#used === 0 ? 0 : this.#used * Math.exp(-timeS / COOLING_S);
  }
  override guard(_x: Float64Array, s: number): number {
    return this.mode === 1 ? 1 : 1 - this.#usedAt(s);
  }
  override cross(): void {
    this.mode = 1;
  }
  override commit(s: number): void {
    this.#used = this.#usedAt(s);
  }
  currentA(x: Float64Array): number {
    return (x[this.#a]! - x[this.#b]!) * this.#siemens();
  }
  override dissipatedW(x: Float64Array): number {
    return (x[this.#a]! - x[this.#b]!) ** 2 * this.#siemens();
  }
  override state(): string {
    return this.mode === 1 ? 'blown' : '';
  }
}

export const fuse = elementKind(schema, {
  links: ({ a, b, blown }) => [{ a, b, isAlways: blown !== true }],
  parts: (element, layout) => [new FusePart(element, layout)],
});
