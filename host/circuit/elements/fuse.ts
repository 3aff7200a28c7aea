// Blade fuse: a resistance until its melting time is used up. The melting time at a current lies between the two edges
// of the published opening-time gates, log-log between their rows.

import * as z from 'zod';
import { itemAt } from '../../arrays/index.js';
import type { Layout } from '../solver/layout.js';
import { elementKind, elementSchema, ends, positive, share } from './kind.js';
import { CLOSED, Interrupter, OPEN } from './two-ended.js';

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
  if (multiple < itemAt(GATES, 0)[0]) return Number.POSITIVE_INFINITY;
  const above = GATES.findIndex(([gate], row) => row > 0 && multiple <= gate);
  const row = above < 0 ? GATES.length - 1 : above;
  const [m0, min0, max0] = itemAt(GATES, row - 1);
  const [m1, min1, max1] = itemAt(GATES, row);
  const logAt = (min: number, max: number) =>
    Math.log(min) * (1 - bandPosition) + Math.log(max) * bandPosition;
  const part = Math.log(multiple / m0) / Math.log(m1 / m0);
  const start = logAt(min0, max0);
  return Math.exp(start + part * (logAt(min1, max1) - start));
}

export class FusePart extends Interrupter {
  override readonly hasMemory = true;
  override readonly hasGuard = true;
  /** Share of the melting time used up. */
  #used = 0;

  constructor(
    readonly element: FuseElement,
    layout: Layout,
  ) {
    super(element, element.resistanceOhm, layout);
    this.mode = element.blown ? OPEN : CLOSED;
  }
  #usedAt(s: number): number {
    if (s === 0 || this.mode === OPEN) return this.#used;
    const { ratedA, resistanceOhm, bandPosition } = this.element;
    const effectiveA = Math.sqrt(this.layout.step.meanSquareV2(this.a, this.b, s)) / resistanceOhm;
    const meltS = meltingTimeS(effectiveA / ratedA, bandPosition);
    const timeS = this.layout.step.sizeS * s;
    if (meltS < Number.POSITIVE_INFINITY) return this.#used + timeS / meltS;
    return this.#used === 0 ? 0 : this.#used * Math.exp(-timeS / COOLING_S);
  }
  override guard(_x: Float64Array, s: number): number {
    return this.mode === OPEN ? 1 : 1 - this.#usedAt(s);
  }
  override cross(): void {
    this.mode = OPEN;
  }
  override commit(s: number): void {
    this.#used = this.#usedAt(s);
  }
  override state(): string {
    return this.mode === OPEN ? 'blown' : '';
  }
}

export const fuse = elementKind(schema, {
  links: ({ a, b, blown }) => [{ a, b, isAlways: blown !== true }],
  parts: (element, layout) => [new FusePart(element, layout)],
});
