// Blocks of a live stream become one capture on a uniform grid, with every loss told.

import { describe, expect, it } from 'vitest';
import { CaptureBuilder, uniformRateHz } from '../../host/capture/index.js';

const block = (fromIndex: number, values: number[], rateHz = 1000) => ({
  timeS: Float64Array.from(values, (_, i) => (fromIndex + i) / rateHz),
  position: values.map(() => 'forward' as const),
  channels: { motorCurrentA: Float64Array.from(values) },
});

describe('capture builder', () => {
  it('joins blocks beyond its first room', () => {
    const builder = new CaptureBuilder(1000);
    for (let i = 0; i < 100; i++)
      builder.add(
        block(
          i * 50,
          Array.from({ length: 50 }, (_, k) => i * 50 + k),
        ),
      );
    const capture = builder.build();
    expect(capture.timeS).toHaveLength(5000);
    expect([...capture.channels.motorCurrentA!]).toEqual(Array.from({ length: 5000 }, (_, i) => i));
    expect(capture.gaps).toEqual([]);
    expect(builder.endS).toBeCloseTo(4.999, 12);
  });

  it('fills a hole between blocks with missing samples and tells it once', () => {
    const builder = new CaptureBuilder(1000);
    builder.add(block(0, [1, 2]));
    builder.add(block(5, [3, 4]));
    const capture = builder.build();
    expect([...capture.channels.motorCurrentA!]).toEqual([1, 2, Number.NaN, Number.NaN, Number.NaN, 3, 4]);
    expect(uniformRateHz(capture.timeS)).toBe(1000);
    expect(capture.gaps).toEqual([{ fromS: expect.closeTo(0.002, 12), toS: 0.005, reason: 'samples lost' }]);
  });

  it('does not tell again a gap that the link has told', () => {
    const builder = new CaptureBuilder(1000);
    builder.add(block(0, [1, Number.NaN, Number.NaN, 4]));
    builder.addGap({ fromS: 0.001, toS: 0.003, reason: '2 frames lost on the link' });
    expect(builder.build().gaps).toEqual([{ fromS: 0.001, toS: 0.003, reason: '2 frames lost on the link' }]);
  });

  it('keeps a channel that starts late missing before it', () => {
    const builder = new CaptureBuilder(1000);
    builder.add(block(0, [1, 2]));
    builder.add({
      ...block(2, [3]),
      channels: { motorCurrentA: Float64Array.of(3), supplyVoltageV: Float64Array.of(13) },
    });
    const capture = builder.build();
    expect([...capture.channels.supplyVoltageV!]).toEqual([Number.NaN, Number.NaN, 13]);
    expect(capture.gaps).toEqual([
      { fromS: 0, toS: 0.002, channels: ['supplyVoltageV'], reason: 'samples lost' },
    ]);
  });

  it('drops samples that come twice and notes how many', () => {
    const builder = new CaptureBuilder(1000);
    builder.add(block(0, [1, 2, 3]));
    builder.add(block(1, [9, 9, 4]));
    const capture = builder.build();
    expect([...capture.channels.motorCurrentA!]).toEqual([1, 2, 3, 4]);
    expect(capture.notes).toEqual(['2 samples came out of order and were dropped.']);
  });

  it('is empty when nothing came', () => {
    const capture = new CaptureBuilder(5000).build();
    expect(capture.timeS).toHaveLength(0);
    expect(capture.gaps).toEqual([]);
  });
});
