// A rig whose board was never flashed again: today's host with the image of firmware 1.0.0 on the emulated board, and the
// circuit that was built for it, coils fed straight. It is told by name what it lacks, and still tests.
//
// firmware-1.0.0.hex.gz is the image as it was committed last before the version went to 1.1.0:
//   git show COMMIT:firmware-protocol/firmware/throwbench-rig.hex | gzip -9n

import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { gunzipSync } from 'node:zlib';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type BenchEvent, type Desk, runUnit } from '../../host/bench/index.js';
import { type Judgement, judge } from '../../host/judge/index.js';
import { loadCase, loadUnit } from '../../host/profile/index.js';
import { openStore, type Store } from '../../host/records/index.js';
import { openVirtualRig } from '../../host/virtual-rig/index.js';
import { expectationOf } from '../judge/known-expectations.js';
import { connectionTo } from './connection.js';

const SEED = 33;
const OLD = {
  image: gunzipSync(readFileSync(new URL('../fixtures/firmware-1.0.0.hex.gz', import.meta.url))).toString(
    'latin1',
  ),
  hardwareRevision: 1,
};
const UNIT = loadUnit('entry-step-relays');
const GOOD = loadCase('entry-step-good');
/** What the unit is told by is no matter of an old board. */
const NOT_JUDGED: Judgement = {
  verdict: 'cannot-tell',
  sentence: '',
  checks: [],
  findings: [],
  measured: {},
};

let folder: string;
let store: Store;
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'throwbench-old-'));
  store = openStore(folder);
});
afterAll(() => {
  store.close();
  rmSync(folder, { recursive: true, force: true });
});

async function run(faults: string[]) {
  const desk: Desk = {
    prepare: async () => ({ timeS: new Float64Array(), lower: {}, upper: {} }),
    judge: async (unit, capture, stop) =>
      stop === undefined ? judge({ unit, capture, expectation: expectationOf(UNIT, 20), stop }) : NOT_JUDGED,
    close: async () => {},
  };
  const virtual = openVirtualRig({
    unit: UNIT,
    virtualCase: { ...GOOD, faults },
    paced: false,
    seed: SEED,
    older: OLD,
  });
  const events: BenchEvent[] = [];
  await runUnit(
    { index: 0, tag: 'V-0107', unit: UNIT, connect: () => connectionTo(virtual, UNIT.rig) },
    { store, desk, signal: new AbortController().signal, now: () => new Date('2026-05-04T08:00:00Z') },
    (event) => events.push(event),
  );
  const runId = events.find((event) => event.kind === 'stored')!.runId;
  return { events, record: store.showRun(runId), capture: store.readCapture(runId)! };
}

describe(`firmware 1.0.0 under today's host (virtual bench, seed ${SEED})`, () => {
  it('is told by name what it lacks, and passes a good unit on all that it has', async () => {
    const { events, record, capture } = await run([]);
    const told = events.find((event) => event.kind === 'trouble' && event.code === 'old-firmware');
    expect(told).toMatchObject({
      sentence: expect.stringMatching(/firmware 1\.0\.0 .*never feeds relay coils through a limiter first/),
      advice: expect.stringContaining('FLASH.md'),
    });
    expect(record.rig.firmwareVersion).toBe('1.0.0');
    expect(record.rig.hardwareRevision).toBeUndefined();
    expect(capture.feed).toContain('full');
    expect(record.judgement?.verdict).toBe('pass');
  });

  it('still keeps the full feed off a shorted coil feed, which it meets with the whole supply for as long as a throw takes to end', async () => {
    const { record, capture } = await run(['k1-30-86-exchanged']);
    expect(capture.feed).not.toContain('full');
    expect(capture.coilFeed).toBeUndefined();
    expect(record.stop?.reason).toBe('coil-short');
    // A throw of 0.2 s, ended by the watch: 30 ms of short, a block of samples, and a poll of 50 ms.
    const thrown = capture.position.filter((position) => position === 'forward').length;
    expect(thrown / capture.sampleRateHz).toBeLessThan(0.15);
  });
});
