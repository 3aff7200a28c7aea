// Samples go into the record while a run goes on, and trouble with that is told once.

import { expect, it } from 'vitest';
import { SampleSaver } from '../../host/bench/sample-saver.js';
import type { Store } from '../../host/records/index.js';
import type { Rig, SampleBlock } from '../../host/rig/index.js';

const rig = { facts: { sampleRateHz: 400 } } as Rig;
const block = (samples: number): SampleBlock => ({
  timeS: new Float64Array(samples),
  position: [],
  channels: {},
});

it('saves each quarter second, the rest when asked, and nothing twice', () => {
  const saved: number[][] = [];
  const store = {
    appendSamples: (_run: string, blocks: readonly SampleBlock[]) =>
      void saved.push(blocks.map(({ timeS }) => timeS.length)),
  } as Pick<Store, 'appendSamples'> as Store;
  const saver = new SampleSaver(store, 'run', rig, () => expect.unreachable());
  for (const samples of [60, 60, 30, 20]) saver.add(block(samples));
  expect(saved).toEqual([[60, 60]]);
  saver.save();
  saver.save();
  expect(saved).toEqual([
    [60, 60],
    [30, 20],
  ]);
});

it('tells trouble once and goes on without saving', () => {
  const told: unknown[] = [];
  let tries = 0;
  const store = {
    appendSamples: () => {
      tries += 1;
      throw new Error('the disk is full');
    },
  } as unknown as Store;
  const saver = new SampleSaver(store, 'run', rig, (error) => told.push(error));
  for (let i = 0; i < 5; i++) saver.add(block(100));
  expect(told).toEqual([new Error('the disk is full')]);
  expect(tries).toBe(1);
});
