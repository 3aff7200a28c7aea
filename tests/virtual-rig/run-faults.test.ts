// What a run must survive, from connection to record: after each fault the record is closed and consistent, its raw
// lines are kept, there is a clear word, and the next run on the same rig and store passes without a restart.

import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { BenchEvent } from '../../host/bench/index.js';
import { openStore, type Store } from '../../host/records/index.js';
import { BenchOnPort, UNIT } from './recorded-run.js';

let folder: string;
let store: Store;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'throwbench-faults-'));
  store = openStore(folder);
});
afterEach(() => {
  store.close();
  rmSync(folder, { recursive: true, force: true });
});

type Harm = (bench: BenchOnPort) => void;

/** Does the harm `afterS` into the step that throws `position` with the full feed, or with the rig just connected. */
const during =
  (position: 'forward' | 'reverse' | 'connected' | 'first step' | 'last step', afterS: number, harm: Harm) =>
  (event: BenchEvent, bench: BenchOnPort): void => {
    const isHere =
      position === 'connected'
        ? event.kind === 'rig-ready'
        : event.kind === 'step-started' &&
          (position === 'first step'
            ? event.index === 0
            : position === 'last step'
              ? event.index === UNIT.plan.steps.length - 1
              : event.step.position === position && event.step.feed === 'full');
    if (isHere) bench.virtual.clock.after(afterS, () => harm(bench));
  };

const unplug: Harm = ({ virtual }) => virtual.binding.unplug();
const noise: Harm = ({ binding }) => {
  binding.toHost = { isNoise: true };
  binding.toBoard = { isNoise: true };
};

/** Nothing stays open, the chain holds, the lines are there; then a run on the same rig and store passes. */
async function expectConsistent(bench: BenchOnPort, runs: number): Promise<void> {
  expect(bench.virtual.binding.isOpen).toBe(false);
  expect(store.listRuns().filter(({ status }) => status === 'running')).toEqual([]);
  expect(store.verify()).toMatchObject({ runs, faults: [] });
  bench.virtual.binding.plug();
  bench.virtual.board.setStopLoop(true);
  bench.binding.toHost = {};
  bench.binding.toBoard = {};
  const { verdict } = await bench.run(store);
  expect(verdict).toBe('pass');
  expect(store.verify()).toMatchObject({ runs: runs + 1, faults: [] });
  bench.virtual.close();
}

describe('a run that meets a fault', () => {
  it.each<[string, (event: BenchEvent, bench: BenchOnPort) => void, RegExp]>([
    ['the cable pulled as soon as it is connected', during('connected', 0, unplug), /lost|vanished/],
    ['the cable pulled before the first throw', during('first step', 0.05, unplug), /vanished/],
    ['the cable pulled in mid-throw', during('forward', 0.3, unplug), /vanished/],
    ['the cable pulled in the throw the other way', during('reverse', 0.3, unplug), /vanished/],
    ['the cable pulled at the end', during('last step', 0.05, unplug), /vanished/],
    ['noise from mid-throw on, seed 71', during('forward', 0.2, noise), /was lost/],
    [
      'a board reset in mid-throw',
      during('forward', 0.2, ({ virtual }) => virtual.board.reset('external')),
      /restarted by itself/,
    ],
  ])(
    'like %s is recorded as aborted with its lines, and the next one passes',
    async (_, onEvent, said) => {
      const bench = new BenchOnPort(71);
      const { verdict, events } = await bench.run(store, onEvent);
      expect(verdict).toBe('cannot-tell');
      const aborted = events.find((event) => event.kind === 'unit-aborted');
      expect(aborted).toMatchObject({ sentence: expect.stringMatching(said) });
      expect(aborted).toMatchObject({ sentence: expect.not.stringMatching(/\n/) });
      const [summary] = store.listRuns();
      expect(summary).toMatchObject({ status: 'aborted' });
      const lines = store.readRawLines(summary!.runId);
      expect(lines.some((line) => / > >[0-9A-F]{2} hello [0-9A-F]{4}$/.test(line))).toBe(true);
      expect(lines.at(-1)).toMatch(/! /);
      await expectConsistent(bench, 1);
    },
    120_000,
  );

  it('like a firmware that stalls is told by its watchdog, and the next one passes', async () => {
    const bench = new BenchOnPort(72);
    const { verdict, events } = await bench.run(
      store,
      during('forward', 0.2, ({ virtual }) => virtual.board.stallMainLoop()),
    );
    expect(verdict).toBe('cannot-tell');
    expect(events).toContainEqual(expect.objectContaining({ kind: 'stopped', reason: 'watchdog' }));
    await expectConsistent(bench, 1);
  });

  it('like a stop loop opened in mid-throw is never a pass, and the next one passes', async () => {
    const bench = new BenchOnPort(73);
    const { verdict, events } = await bench.run(
      store,
      during('forward', 0.2, ({ virtual }) => virtual.board.setStopLoop(false)),
    );
    expect(verdict).toBe('cannot-tell');
    expect(events).toContainEqual(expect.objectContaining({ kind: 'stopped', reason: 'stop-input' }));
    await expectConsistent(bench, 1);
  });

  it.each([
    ['bytes damaged at 1e-3 both ways, seed 74', { flip: 1e-3 }, { flip: 1e-3 }, 74],
    [
      'chunks lost and repeated and lines cut anywhere, seed 75',
      { drop: 0.02, repeat: 0.03, cutTo: 7 },
      {},
      75,
    ],
  ])(
    'like %s keeps a record with its gaps, and the next one passes',
    async (_, toHost, toBoard, seed) => {
      const bench = new BenchOnPort(seed);
      const { verdict } = await bench.run(store, (event) => {
        if (event.kind !== 'rig-ready') return;
        bench.binding.toHost = toHost;
        bench.binding.toBoard = toBoard;
      });
      expect(verdict).toBe('cannot-tell');
      const [summary] = store.listRuns();
      const capture = store.readCapture(summary!.runId)!;
      const told = capture.gaps.reduce(
        (sum, { reason }) => sum + Number(/^(\d+) frames/.exec(reason)?.[1] ?? 0),
        0,
      );
      expect(told).toBeGreaterThan(10);
      expect(told).toBe(store.showRun(summary!.runId).counters.framesLost);
      await expectConsistent(bench, 1);
    },
    120_000,
  );
});

describe('the raw trace of a run', () => {
  it('is kept with the record: what was said on the line, the newest frames, and no more than its bounds', async () => {
    const bench = new BenchOnPort(76);
    await bench.run(store);
    bench.virtual.close();
    const [summary] = store.listRuns();
    const lines = store.readRawLines(summary!.runId);
    for (const verb of ['hello', 'arm', 'throw forward', 'throw reverse', 'release', 'off', 'stream off']) {
      expect(
        lines.some((line) => line.includes(` > >`) && line.includes(` ${verb}`)),
        verb,
      ).toBe(true);
    }
    const frames = lines.filter((line) => / < ~/.test(line));
    // Four seconds brought some 4,000 frames; the ring keeps the newest 200.
    expect(frames).toHaveLength(200);
    expect(lines.length).toBeLessThanOrEqual(2200);
    const times = lines.map((line) => Number.parseFloat(line));
    expect(times).toEqual([...times].sort((a, b) => a - b));
  });
});
