// A gap on the line is told, stands in the stored capture, and no check that needs the missing stretch passes:
// from the board's frames through driver, capture, record and judging.

import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Capture } from '../../host/capture/index.js';
import { openStore, type Store } from '../../host/records/index.js';
import { BenchOnPort, loseFrames } from './recorded-run.js';

let folder: string;
let store: Store;
/** Milliseconds into the stream, which are frame numbers. */
const at = { forward: 0, forwardEnd: 0, reverse: 0, reverseEnd: 0 };

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'throwbench-gap-'));
  store = openStore(folder);
  const { outcomes, capture } = await runWith(() => false);
  expect([...outcomes.values()].every((outcome) => outcome === 'pass')).toBe(true);
  expect(capture.gaps).toEqual([]);
  const frame = (index: number): number => Math.floor(capture.timeS[index]! * 1000);
  // The throws with the full feed; the short ones before them are read for their leads only.
  const thrown = capture.position.map((word, i) => (capture.feed![i] === 'full' ? word : 'rest'));
  at.forward = frame(thrown.indexOf('forward'));
  at.forwardEnd = frame(thrown.lastIndexOf('forward'));
  at.reverse = frame(thrown.indexOf('reverse'));
  at.reverseEnd = frame(thrown.lastIndexOf('reverse'));
}, 120_000);
afterAll(() => {
  store.close();
  rmSync(folder, { recursive: true, force: true });
});

async function runWith(isLost: (frame: number) => boolean) {
  const bench = new BenchOnPort(1);
  const lostFrames = loseFrames(bench.virtual.board, isLost);
  const { verdict, events } = await bench.run(store);
  bench.virtual.close();
  const judged = events.find((event) => event.kind === 'judged');
  if (judged?.kind !== 'judged') throw new Error('the run was not judged');
  const record = store.showRun(judged.runId);
  const capture = store.readCapture(judged.runId)!;
  const outcomes = new Map(record.judgement!.checks.map(({ id, outcome }) => [id, outcome]));
  return { verdict, record, capture, outcomes, lost: lostFrames() };
}

/** What is stored says the gap, and has no sample inside it. */
function expectMarked(capture: Capture, lost: number): void {
  expect(capture.gaps).toEqual([
    { fromS: expect.any(Number), toS: expect.any(Number), reason: `${lost} frames lost on the link` },
  ]);
  const { fromS, toS } = capture.gaps[0]!;
  expect(toS - fromS).toBeGreaterThan(lost * 0.001);
  expect(toS - fromS).toBeLessThan(lost * 0.001 + 0.002);
  for (const values of Object.values(capture.channels)) {
    let missing = 0;
    values.forEach((value, i) => {
      const isInside = capture.timeS[i]! > fromS - 1e-9 && capture.timeS[i]! < toS + 1e-9;
      if (Number.isNaN(value)) missing += 1;
      if (Number.isNaN(value)) expect(isInside).toBe(true);
    });
    expect(missing).toBeGreaterThanOrEqual(5 * lost - 5);
  }
}

describe('frames lost on the line', () => {
  // Which checks read which stretch follows from what they say they measure: an inrush is at the start of a throw, a
  // running current towards its end, a release after it, rest readings before the first throw.
  it.each<[string, () => [number, number], string[]]>([
    [
      'at the start of a throw',
      () => [at.forward - 2, at.forward + 60],
      ['inrush-forward', 'settling-forward'],
    ],
    [
      'for most of a throw',
      () => [at.forward + 100, at.forwardEnd - 20],
      ['running-forward', 'settling-forward', 'dropouts-forward', 'polarity-forward', 'symmetry'],
    ],
    [
      'for a whole throw',
      () => [at.forward - 3, at.forwardEnd + 3],
      ['plan-complete', 'inrush-forward', 'running-forward', 'dropouts-forward', 'release-forward'],
    ],
    ['after a release', () => [at.forwardEnd - 2, at.reverse - 10], ['release-forward']],
    ['at the start of the other throw', () => [at.reverse - 2, at.reverse + 60], ['inrush-reverse']],
    [
      'at rest before the first throw',
      () => [at.forward - 300, at.forward - 5],
      ['rest-lead-a', 'rest-current'],
    ],
  ])(
    '%s: told, stored, and what needs the stretch is not tested',
    async (_, stretch, needing) => {
      const [from, to] = stretch();
      const { verdict, record, capture, outcomes, lost } = await runWith((n) => n >= from && n < to);
      expect(lost).toBe(to - from);
      expect(record.counters.framesLost).toBe(lost);
      expectMarked(capture, lost);
      for (const id of [...needing, 'samples-complete']) {
        expect(outcomes.has(id), `${id} is among the checks`).toBe(true);
        expect(outcomes.get(id), id).toBe('not-tested');
      }
      expect(verdict).toBe('cannot-tell');
      expect(store.verify().faults).toEqual([]);
    },
    60_000,
  );

  it('is marked and stored also for a single frame, which alone does not take a verdict away', async () => {
    const { verdict, capture, outcomes } = await runWith((n) => n === at.forwardEnd - 200);
    expectMarked(capture, 1);
    expect(outcomes.get('samples-complete')).toBe('conditional-pass');
    expect(verdict).not.toBe('fail');
  });

  // The loss is long enough to hide a dropout.
  it('in the middle of a throw: its dropouts are not tested', async () => {
    const { outcomes } = await runWith((n) => n >= at.forwardEnd - 250 && n < at.forwardEnd - 200);
    expect(outcomes.get('dropouts-forward')).toBe('not-tested');
  });
});
