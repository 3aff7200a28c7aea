// Where a large picture may be cut: between its boxes and badges, through wires alone.

import type { Layout } from './layout.js';
import { MARGIN } from './svg.js';

/** A gap that is narrower is none: letters of a box reach a little over its edge. */
const LEAST_GAP = 8;

/** Heights in the picture, as `circuitSvg` draws it without a title, from the top. */
export function breaksOf({ boxes, wires, metrics }: Layout): number[] {
  const badges = wires.flatMap(({ badge }) =>
    badge === undefined ? [] : [{ y: badge.y, height: metrics.badge.height }],
  );
  const breaks: number[] = [];
  let end = Number.POSITIVE_INFINITY;
  for (const { y, height } of [...boxes, ...badges].sort((a, b) => a.y - b.y)) {
    if (y - end >= LEAST_GAP) breaks.push(MARGIN + (end + y) / 2);
    end = Number.isFinite(end) ? Math.max(end, y + height) : y + height;
  }
  return breaks;
}
