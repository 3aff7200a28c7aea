// What is driven or fed at rest against its style never meets the full feed: found at 1 A, told, and named from those
// readings. Driven on the shipped firmware in the emulator, the circuit model behind it.

import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type BenchEvent, type Desk, runUnit } from '../../host/bench/index.js';
import { readCaptureCsv, writeCaptureCsv } from '../../host/capture/index.js';
import { judge } from '../../host/judge/index.js';
import { loadCase, loadUnit, type ResolvedUnit, type VirtualCase } from '../../host/profile/index.js';
import { openStore, type Store } from '../../host/records/index.js';
import { openVirtualRig } from '../../host/virtual-rig/index.js';
import { expectationOf } from '../judge/known-expectations.js';
import { connectionTo } from './connection.js';

const UNIT = loadUnit('entry-step-relays');
const GOOD = loadCase('entry-step-good');
const SEED = 33;
let folder: string;
let store: Store;
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'throwbench-fed-'));
  store = openStore(folder);
});
afterAll(() => {
  store.close();
  rmSync(folder, { recursive: true, force: true });
});

const highest = (values: Float64Array): number =>
  values.reduce((most, value) => Math.max(most, Math.abs(value)), 0);

async function run(virtualCase: VirtualCase, unit: ResolvedUnit = UNIT) {
  const expectation = expectationOf(unit, 20);
  const desk: Desk = {
    prepare: async () => ({ timeS: new Float64Array(), lower: {}, upper: {} }),
    judge: async (of, capture, stop) => judge({ unit: of, capture, expectation, stop }),
    close: async () => {},
  };
  const virtual = openVirtualRig({ unit, virtualCase, paced: false, seed: SEED });
  const events: BenchEvent[] = [];
  await runUnit(
    { index: 0, tag: 'V-0107', unit, connect: () => connectionTo(virtual, unit.rig) },
    { store, desk, signal: new AbortController().signal, now: () => new Date('2026-05-04T08:00:00Z') },
    (event) => events.push(event),
  );
  const runId = events.find((event) => event.kind === 'stored')!.runId;
  const capture = store.readCapture(runId)!;
  return {
    events,
    record: store.showRun(runId),
    capture,
    feedA: highest(capture.channels.feedCurrentA!),
  };
}

const LOCKED = { motorScale: { coulombNm: 100 } };

describe(`what is fed at rest (virtual bench, seed ${SEED})`, () => {
  it.each([
    [
      'a welded contact',
      { faults: ['k1-make-welded'] },
      'Lead A is already fed at rest: the motor would start by itself',
    ],
    ['one with its rotor locked', { faults: ['k1-make-welded'], ...LOCKED }, 'Lead A is already fed at rest'],
    ['one on the other side', { faults: ['k2-make-welded'], ...LOCKED }, 'Lead B is already fed at rest'],
    ['87 and 87a exchanged', { faults: ['k1-87-87a-exchanged'] }, 'Lead A is already fed at rest'],
  ])('keeps the full feed off: %s', async (_, more, sentence) => {
    const { events, record, capture, feedA } = await run({ ...GOOD, ...more });
    expect(capture.feed).toContain('limited');
    expect(capture.feed).not.toContain('full');
    expect(feedA).toBeLessThan(2);
    expect(events.find((event) => event.kind === 'stopped')?.reason).toBe('fed-at-rest');
    expect(record.stop?.reason).toBe('fed-at-rest');
    expect(record.judgement?.verdict).toBe('fail');
    const check = record.judgement?.checks.find(({ id }) => id === 'limited-fed-at-rest');
    expect(check?.sentence).toContain(sentence);
    expect(record.judgement?.sentence).toContain('already fed at rest');
    const [first] = record.judgement!.findings;
    expect([first!.id, ...(first!.inseparable ?? [])]).toContain(more.faults[0]);
  });

  it.each([
    ['a diode the wrong way round', 'k1-diode-reversed', 'The coil feed is shorted, forward'],
    ['30 and 86 exchanged', 'k1-30-86-exchanged', 'The coil feed is shorted at rest'],
  ])(
    'finds a shorted coil feed at a third of an ampere, names it, and never feeds coils or motor straight: %s',
    async (_, fault, sentence) => {
      const unit = loadUnit('seat-slide-relays');
      const { events, record, capture } = await run(
        { ...loadCase('seat-slide-good'), faults: [fault] },
        unit,
      );
      expect(capture.feed).not.toContain('full');
      expect(events.find((event) => event.kind === 'stopped')?.reason).toBe('coil-short');
      expect(record.judgement?.verdict).toBe('fail');
      const check = record.judgement?.checks.find(({ id }) => id === 'limited-coil-short');
      expect(check?.sentence).toContain(sentence);
      const [first] = record.judgement!.findings;
      expect([first!.id, ...(first!.inseparable ?? [])]).toContain(fault);
      // 13 V over the limiter's 39 Ohm (Ohm's law); the scale of the channel ends at 1 A.
      expect(capture.coilFeed).toBe('limited');
      expect(highest(capture.channels.coilCurrentA!)).toBeLessThan(0.34);
      // Stored and judged again it says the same.
      expect(readCaptureCsv(writeCaptureCsv(capture).toString('utf8'), 'stage.csv').coilFeed).toBe('limited');
    },
  );

  it("lays a dead coil feed at the rig's own fuse before it accuses the unit", async () => {
    const { record } = await run({ ...GOOD, blownFuses: ['F3'] });
    expect(record.judgement?.verdict).toBe('cannot-tell');
    expect(record.judgement?.sentence).toContain("the rig's own fuse F3 has blown, that of the coil feed");
  });

  it('lets a good unit on to the full feed, at rest as in its throws', async () => {
    const { record, capture } = await run(GOOD);
    expect(capture.feed).toContain('full');
    expect(record.stop).toBeUndefined();
    expect(record.judgement?.verdict).toBe('pass');
  });
});
