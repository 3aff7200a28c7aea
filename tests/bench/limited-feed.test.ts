// A short is met with the limited feed and never with the full one; a motor that stands still at 1 A is no short.
// Driven on the shipped firmware in the emulator, the circuit model behind it.

import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { findShort } from '../../host/bench/find-short.js';
import { type BenchEvent, type Desk, runUnit } from '../../host/bench/index.js';
import { judge } from '../../host/judge/index.js';
import { loadCase, loadUnit, type VirtualCase } from '../../host/profile/index.js';
import { openStore, type Store } from '../../host/records/index.js';
import { openVirtualRig } from '../../host/virtual-rig/index.js';
import { expectationOf } from '../judge/known-expectations.js';
import { connectionTo } from './connection.js';

// 0.6 Ohm: 1 A is less than half of what its friction takes.
const UNIT = loadUnit('entry-step-relays');
const GOOD = loadCase('entry-step-good');
const SEED = 31;
let folder: string;
let store: Store;
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'throwbench-limited-'));
  store = openStore(folder);
});
afterAll(() => {
  store.close();
  rmSync(folder, { recursive: true, force: true });
});

async function run(virtualCase: VirtualCase, desk: Desk) {
  const virtual = openVirtualRig({ unit: UNIT, virtualCase, paced: false, seed: SEED });
  const events: BenchEvent[] = [];
  await runUnit(
    {
      index: 0,
      tag: 'V-0107',
      unit: UNIT,
      connect: () => connectionTo(virtual, UNIT.rig),
    },
    { store, desk, signal: new AbortController().signal, now: () => new Date('2026-05-04T08:00:00Z') },
    (event) => events.push(event),
  );
  const runId = events.find((event) => event.kind === 'stored')!.runId;
  return { events, record: store.showRun(runId), capture: store.readCapture(runId)! };
}

/** Judges in this thread, with few draws: the gate needs none of them. */
const expected = expectationOf(UNIT, 20);
const desk: Desk = {
  prepare: async () => ({ timeS: new Float64Array(), lower: {}, upper: {} }),
  judge: async (unit, capture, stop) => judge({ unit, capture, expectation: expected, stop }),
  close: async () => {},
};

describe(`the limited feed (virtual bench, seed ${SEED})`, () => {
  it('finds lead A shorted to ground, goes on with the limited steps and never applies the full feed', async () => {
    const { events, record, capture } = await run({ ...GOOD, faults: ['lead-a-shorted-to-ground'] }, desk);
    expect(capture.feed).toBeDefined();
    expect(capture.feed).not.toContain('full');
    // The board trips at 30 A; nothing came near.
    expect(Math.max(...capture.channels.feedCurrentA!)).toBeLessThan(2);
    const order = capture.position.filter((name, i, all) => name !== all[i - 1]);
    expect(order).toEqual(['rest', 'forward', 'rest', 'reverse', 'rest']);
    const stopped = events.find((event) => event.kind === 'stopped');
    expect(stopped?.reason).toBe('limited-feed-short');
    expect(record.stop?.reason).toBe('limited-feed-short');
    expect(record.judgement?.verdict).toBe('fail');
    expect(record.judgement?.sentence).toContain('Short found with the limited feed, forward');
    expect(record.judgement?.sentence).toContain('full feed was never applied');
    const [first] = record.judgement!.findings;
    expect([first!.id, ...(first!.inseparable ?? [])]).toContain('lead-a-shorted-to-ground');
    // The stored capture alone leads to the same end.
    expect(findShort(UNIT, capture)?.of.id).toBe('limitedForward');
    const again = judge({ unit: UNIT, capture, expectation: expected });
    expect(again.verdict).toBe('fail');
    expect(again.sentence).toBe(record.judgement?.sentence);
  });

  it('does not take a motor that stalls at 1 A for a short', async () => {
    const { record, capture } = await run(GOOD, desk);
    expect(capture.feed).toContain('full');
    expect(record.stop).toBeUndefined();
    expect(record.judgement?.verdict).toBe('pass');
    const { measured } = record.judgement!;
    // Stalled on 12 Ohm and its own 0.6: about 1 A and 0.6 V beside 0.3 V of its brushes.
    expect(measured.limitedForwardMotorCurrentA!.value).toBeGreaterThan(0.9);
    expect(measured.limitedForwardMotorVoltageV!.value).toBeLessThan(1.2);
    expect(measured.forwardRunningCurrentA!.value).toBeGreaterThan(3.5);
  });

  it('runs a held rotor on to the full feed, which tells it', async () => {
    const { record, capture } = await run({ ...GOOD, motorScale: { coulombNm: 100 } }, desk);
    expect(capture.feed).toContain('full');
    expect(record.judgement?.checks.find(({ id }) => id === 'limited-feed-short')?.outcome).toBe('pass');
    expect(record.judgement?.verdict).toBe('fail');
  });
});
