// What a capture shows is told by its readings alone: their ± by the GUM, the spread of good units beside it.

import { describe, expect, it } from 'vitest';
import type { Channel } from '../../host/capture/index.js';
import { FORWARD, featuresOf, measuredOf, REVERSE, type ReadAt, segmentOf } from '../judge/handmade.js';
import { isShownBy } from './shown.js';

const features = featuresOf([
  [FORWARD, { runningCurrentA: { nominal: 4 }, inrushPeakA: { nominal: 15 } }],
  [REVERSE, { runningCurrentA: { nominal: 4 }, inrushPeakA: { nominal: 15 } }],
]);
const seen = (read: readonly ReadAt[], notSampled: readonly Channel[] = []) => ({
  measured: measuredOf(read),
  segments: read.flatMap(([of]) => (of ? [segmentOf(of)] : [])),
  notSampled: [...notSampled],
});
const GOOD: readonly ReadAt[] = [
  [FORWARD, { runningCurrentA: 4, inrushPeakA: 15 }],
  [REVERSE, { runningCurrentA: 4, inrushPeakA: 15 }],
];
const isShown = (read: readonly ReadAt[], notSampled?: readonly Channel[]): boolean =>
  isShownBy(seen(read, notSampled), seen(GOOD, notSampled), { features });

describe('a fault', () => {
  it('is not shown by a throw that is not there, nor where nothing was thrown at all', () => {
    expect(isShown(GOOD.slice(0, 1))).toBe(false);
    expect(isShown([])).toBe(false);
  });
  it('is shown by a reading beyond both ±', () => {
    expect(isShown([[FORWARD, { runningCurrentA: 7, inrushPeakA: 15 }]])).toBe(true);
    expect(isShown(GOOD)).toBe(false);
  });
  it('is not shown where another supply, which nobody sampled, reads the same', () => {
    const lower: readonly ReadAt[] = [[FORWARD, { inrushPeakA: [15 * 0.9, 0.1] }]];
    expect(isShown(lower)).toBe(true);
    expect(isShown(lower, ['supplyVoltageV'])).toBe(false);
    expect(isShown([[FORWARD, { inrushPeakA: [15 * 0.6, 0.1] }]], ['supplyVoltageV'])).toBe(true);
  });
});
