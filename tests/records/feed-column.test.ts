// The feed through record and file: kept sample by sample, and absent where it was never told, as in older records.

import { describe, expect, it } from 'vitest';
import {
  type Capture,
  CaptureBuilder,
  type Feed,
  readCaptureCsv,
  writeCaptureCsv,
} from '../../host/capture/index.js';
import { packCapture, unpackCapture } from '../../host/records/capture-blob.js';
import { joinChunks, packChunk } from '../../host/records/sample-chunks.js';

const FEED: Feed[] = ['off', 'off', 'limited', 'limited', 'full', 'full', 'off'];
const plain: Capture = {
  timeS: Float64Array.from(FEED, (_, i) => i / 5000),
  position: FEED.map(() => 'rest'),
  channels: { supplyVoltageV: Float64Array.from(FEED, (_, i) => 13 - i / 7) },
  gaps: [],
  sampleRateHz: 5000,
  notes: ['one'],
};
const told: Capture = { ...plain, feed: FEED };

describe('the feed of a capture', () => {
  it('comes back from a record as it was, and a record without it reads as before', () => {
    expect(unpackCapture(packCapture(told))).toEqual(told);
    expect(unpackCapture(packCapture(plain))).toEqual(plain);
    // A record of before the column: the same bytes, one mark a sample fewer.
    expect(packCapture(plain).equals(packCapture(told))).toBe(false);
  });

  it('comes back from a CSV file as it was', () => {
    const again = readCaptureCsv(writeCaptureCsv(told).toString(), 'told.csv');
    expect(again.feed).toEqual(FEED);
    expect(again.extraColumns).toBeUndefined();
    expect(readCaptureCsv(writeCaptureCsv(plain).toString(), 'plain.csv').feed).toBeUndefined();
    expect(() => readCaptureCsv('time_s,feed,supply_V\n0,fall,13\n', 'bad.csv')).toThrow(/full/);
  });

  it('survives the pieces of a run that was cut off, and a hole between blocks', () => {
    const joined = joinChunks([packChunk([told])], 'cut off');
    expect(joined?.feed).toEqual(FEED);
    const builder = new CaptureBuilder(5000);
    builder.add({ timeS: Float64Array.of(0, 0.0002), position: ['rest', 'rest'], channels: {} });
    builder.add({ timeS: Float64Array.of(0.001), position: ['rest'], feed: ['limited'], channels: {} });
    // Untold before: full; through the hole: as before it.
    expect(builder.build().feed).toEqual(['full', 'full', 'full', 'full', 'full', 'limited']);
  });
});
