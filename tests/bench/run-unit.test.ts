// One run on the shipped firmware, from connection to record: what is stored when all goes well, when the cable is
// pulled, when the rig does not answer and when the capture cannot be judged.

import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { type BenchEvent, type Desk, runUnit } from '../../host/bench/index.js';
import type { Judgement } from '../../host/judge/index.js';
import { loadCase } from '../../host/profile/index.js';
import { openStore, type Store } from '../../host/records/index.js';
import { openVirtualRig, type VirtualRig } from '../../host/virtual-rig/index.js';
import { plannedUnit } from '../profile/planned-unit.js';
import { connectionTo } from './connection.js';

const UNIT = plannedUnit('roof-vent-switch');
const GOOD = loadCase('roof-vent-good');
const PASS: Judgement = { verdict: 'pass', sentence: 'All well.', checks: [], findings: [], measured: {} };
const BAND = { timeS: new Float64Array(), lower: {}, upper: {} };

let folder: string;
let store: Store;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'throwbench-run-'));
  store = openStore(folder);
});
afterEach(() => {
  store.close();
  rmSync(folder, { recursive: true, force: true });
});

const deskThat = (judge: Desk['judge']): Desk => ({
  prepare: async () => BAND,
  judge,
  close: async () => {},
});

async function run(desk: Desk, onEvent: (event: BenchEvent, virtual: VirtualRig) => void = () => {}) {
  const virtual = openVirtualRig({ unit: UNIT, virtualCase: GOOD, paced: false, seed: 11 });
  const events: BenchEvent[] = [];
  const verdict = await runUnit(
    {
      index: 0,
      tag: 'V-0101',
      unit: UNIT,
      connect: () => connectionTo(virtual, UNIT.rig),
    },
    { store, desk, signal: new AbortController().signal, now: () => new Date('2026-05-04T08:00:00Z') },
    (event) => {
      events.push(event);
      onEvent(event, virtual);
    },
  );
  return { verdict, events, kinds: events.map(({ kind }) => kind) };
}

describe('a run from connection to record', () => {
  it('is stored with capture, profile, rig and raw lines before the verdict is told', async () => {
    let storedWhenTold: number | undefined;
    const { verdict, kinds } = await run(
      deskThat(async () => PASS),
      (event) => {
        if (event.kind === 'judged') storedWhenTold = store.readCapture(event.runId)?.timeS.length;
      },
    );
    expect(verdict).toBe('pass');
    expect(kinds.indexOf('outputs-off')).toBeLessThan(kinds.indexOf('stored'));
    expect(kinds.indexOf('stored')).toBeLessThan(kinds.indexOf('judged'));
    expect(storedWhenTold).toBeGreaterThan(15_000);
    const [summary] = store.listRuns();
    const record = store.showRun(summary!.runId);
    expect(record.rig.firmwareVersion).toMatch(/^\d+\.\d+\.\d+$/);
    // With what the rig's own self-test rules out on the day.
    expect(record.unit).toEqual({ ...UNIT, rig: { ...UNIT.rig, proven: ['F4'] } });
    expect(record.rig.hardwareRevision).toBe(2);
    expect(store.readRawLines(summary!.runId).length).toBeGreaterThan(50);
    expect(store.verify()).toMatchObject({ runs: 1, faults: [] });
  });

  it('asked for its clips to be pressed, the next run that reads the same is judged without them, and keeps that', async () => {
    const clip = { id: 'ground-clip-weak', owner: 'rig' as const, sentence: 'Clip.', nextProbe: 'Press.' };
    const asks = (ohm: number): Judgement => ({
      ...PASS,
      verdict: 'cannot-tell',
      findings: [{ ...clip, likelihood: 1, causes: [{ ...clip, readsAsUnits: true, likelihood: 1 }] }],
      measured: {
        forwardGroundResistanceOhm: {
          ...{ what: 'groundResistanceOhm', value: ohm, unit: 'Ohm' },
          ...{ standardUncertainty: 0.01, expandedUncertainty: 0.02, degreesOfFreedom: 9 },
        },
      },
    });
    const reads = (ohm: number) =>
      run(
        deskThat(async ({ rig: { proven } }) =>
          proven?.includes('clips') ? { ...PASS, verdict: 'fail' } : asks(ohm),
        ),
      );
    expect((await reads(0.5)).verdict).toBe('cannot-tell');
    expect((await reads(0.3)).verdict).toBe('cannot-tell');
    expect((await reads(0.31)).verdict).toBe('fail');
    expect(store.showRun(store.listRuns()[0]!.runId).unit.rig.proven).toEqual(['F4', 'clips']);
  });

  it('ends as aborted with the partial capture when the cable is pulled in mid-throw, never as pass or fail', async () => {
    let judged = false;
    const { verdict, events } = await run(
      deskThat(async () => {
        judged = true;
        return PASS;
      }),
      (event, virtual) => {
        if (
          event.kind === 'step-started' &&
          event.step.position === 'forward' &&
          event.step.feed === 'full'
        ) {
          virtual.clock.after(0.3, () => virtual.binding.unplug());
        }
      },
    );
    expect(verdict).toBe('cannot-tell');
    expect(judged).toBe(false);
    const aborted = events.find((event) => event.kind === 'unit-aborted');
    expect(aborted).toMatchObject({ sentence: expect.stringMatching(/lost|vanished/) });
    const [summary] = store.listRuns();
    expect(summary).toMatchObject({ tag: 'V-0101', status: 'aborted' });
    const capture = store.readCapture(summary!.runId)!;
    expect(capture.timeS.at(-1)).toBeGreaterThan(0.7);
    expect(
      Math.max(...capture.channels.motorCurrentA!.filter((value) => !Number.isNaN(value))),
    ).toBeGreaterThan(3);
  });

  it('records nothing when the rig does not answer', async () => {
    const events: BenchEvent[] = [];
    const verdict = await runUnit(
      {
        index: 0,
        tag: 'V-0101',
        unit: UNIT,
        connect: () =>
          Promise.reject(Object.assign(new Error('no answer'), { code: 'no-answer', advice: 'Look.' })),
      },
      {
        store,
        desk: deskThat(async () => PASS),
        signal: new AbortController().signal,
        now: () => new Date(),
      },
      (event) => events.push(event),
    );
    expect(verdict).toBe('cannot-tell');
    expect(events).toContainEqual({
      kind: 'trouble',
      code: 'no-answer',
      sentence: 'no answer',
      advice: 'Look.',
    });
    expect(store.listRuns()).toEqual([]);
  });

  it('keeps the capture of a run that could not be judged', async () => {
    const failing = deskThat(() => Promise.reject(new Error('a fault of this program')));
    await expect(run(failing)).rejects.toThrow('a fault of this program');
    const [summary] = store.listRuns();
    expect(summary).toMatchObject({ status: 'aborted' });
    expect(store.readCapture(summary!.runId)!.timeS.length).toBeGreaterThan(15_000);
  });
});
