// What a run has sampled so far, kept piece by piece so that a crash loses no more than the last piece.

import { sampleAt } from '../arrays/index.js';
import { type Capture, CaptureBuilder, type Feed, type Position, sampledChannels } from '../capture/index.js';
import type { SampleBlock } from '../rig/index.js';
import { packCapture, unpackCapture } from './capture-blob.js';

/** Several blocks as one blob; times as they came. */
export function packChunk(blocks: readonly SampleBlock[]): Buffer {
  const samples = blocks.reduce((sum, { timeS }) => sum + timeS.length, 0);
  const timeS = new Float64Array(samples);
  const position: Position[] = [];
  const feed: Feed[] = [];
  const channels: Capture['channels'] = {};
  let at = 0;
  for (const block of blocks) {
    timeS.set(block.timeS, at);
    for (let i = 0; i < block.timeS.length; i++) {
      position.push(block.position[i] ?? 'rest');
      feed.push(block.feed?.[i] ?? 'full');
    }
    for (const [channel, values] of sampledChannels(block.channels)) {
      channels[channel] ??= new Float64Array(samples).fill(Number.NaN);
      channels[channel].set(values, at);
    }
    at += block.timeS.length;
  }
  const told = blocks.some((block) => block.feed !== undefined);
  return packCapture({
    timeS,
    position,
    ...(told ? { feed } : {}),
    channels,
    gaps: [],
    sampleRateHz: 0,
    notes: [],
  });
}

/** The capture that pieces amount to; undefined when there are none. The rate is that of the usual step. */
export function joinChunks(blobs: readonly Uint8Array[], note: string): Capture | undefined {
  const blocks = blobs.map(unpackCapture).filter(({ timeS }) => timeS.length > 0);
  const first = blocks[0];
  if (!first) return undefined;
  const steps = blocks
    .flatMap(({ timeS }) => Array.from(timeS.subarray(1), (t, i) => t - sampleAt(timeS, i)))
    .sort((a, b) => a - b);
  const stepS = steps[steps.length >> 1];
  const rateHz = stepS !== undefined && stepS > 0 ? 1 / stepS : 1;
  const whole = Math.round(rateHz);
  const builder = new CaptureBuilder(Math.abs(whole - rateHz) < 1e-6 * rateHz ? whole : rateHz);
  for (const block of blocks) builder.add(block);
  builder.addNote(note);
  return builder.build();
}
