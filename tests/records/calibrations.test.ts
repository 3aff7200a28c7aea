// Calibration points and known-load checks: what corrects a rig on a day, and which runs a failed check throws in doubt.

import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Sqlite from 'better-sqlite3';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { calibratedRig, withCalibration } from '../../host/commands/calibrated-rig.js';
import { loadRig } from '../../host/profile/index.js';
import { calibrationFor, correctedScales } from '../../host/records/correction/index.js';
import { type CalibrationPoint, openStore, type ShiftCheck, type Store } from '../../host/records/index.js';
import type { Rig, RigEvent } from '../../host/rig/index.js';
import { begin, capture, judgement, RIG } from './example-run.js';

const { scales } = loadRig('reference-rig');

const point = (over: Partial<CalibrationPoint>): CalibrationPoint => ({
  rigId: 'R-1',
  channel: 'motorCurrentA',
  point: 'zero',
  at: '2024-06-03T08:00:00.000Z',
  reading: 0.4,
  readingUncertainty: 0.01,
  reference: 0,
  referenceUncertainty: 0,
  atZeroCount: scales.motorCurrentA.atZeroCount,
  perCount: scales.motorCurrentA.perCount,
  ...over,
});
const LOAD = point({
  point: 'load',
  at: '2024-06-03T08:05:00.000Z',
  reading: 10.6,
  reference: 10,
  referenceUncertainty: 0.05,
});

let folder: string;
let store: Store;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'throwbench-calibrations-'));
  store = openStore(folder);
});
afterEach(() => {
  store.close();
  rmSync(folder, { recursive: true, force: true });
});

describe('a two-point calibration', () => {
  it('takes a straight line through zero and load: (reading - 0.4) x 10 / 10.2', () => {
    const { zero, gain, ...rest } = calibrationFor([point({}), LOAD], 'R-1', LOAD.at, scales).channels
      .motorCurrentA!;
    expect(zero).toBe(0.4);
    expect(gain).toBeCloseTo(10 / 10.2, 12);
    expect(gain * (10.6 - zero)).toBeCloseTo(10, 12);
    // u(gain)/gain by the law of propagation: (0.05/10)^2 + (0.01^2 + 0.01^2)/10.2^2.
    expect(rest.gainUncertaintyPercent).toBeCloseTo(100 * Math.hypot(0.005, (0.01 * Math.SQRT2) / 10.2), 4);
    expect(rest.offsetUncertainty).toBeCloseTo((0.01 * 10) / 10.2, 9);
  });

  it('becomes a scale that reads the same counts corrected', () => {
    const corrected = correctedScales(
      scales,
      calibrationFor([point({}), LOAD], 'R-1', LOAD.at, scales),
    ).motorCurrentA;
    for (const count of [0, 512, 700, 1023]) {
      const raw = scales.motorCurrentA.atZeroCount + count * scales.motorCurrentA.perCount;
      expect(corrected.atZeroCount + count * corrected.perCount).toBeCloseTo(((raw - 0.4) * 10) / 10.2, 9);
    }
  });

  it('holds from its day on, for its rig and channel only; the newest point counts', () => {
    const later = point({ at: '2024-07-01T08:00:00.000Z', reading: 0.6 });
    const points = [point({}), LOAD, later];
    const at = (rigId: string, day: string) => calibrationFor(points, rigId, day, scales).channels;
    expect(at('R-1', '2024-06-03T07:00:00.000Z')).toEqual({});
    expect(at('R-1', '2024-06-03T08:01:00.000Z').motorCurrentA).toMatchObject({ zero: 0.4, gain: 1 });
    expect(at('R-2', '2024-08-01T08:00:00.000Z')).toEqual({});
    // A new zero leaves the gain, which was taken above the zero of its own day.
    const newest = at('R-1', '2024-08-01T08:00:00.000Z').motorCurrentA!;
    expect(newest.zero).toBe(0.6);
    expect(newest.gain).toBeCloseTo(10 / 10.2, 12);
    expect(Object.keys(at('R-1', '2024-08-01T08:00:00.000Z'))).toEqual(['motorCurrentA']);
  });

  it('follows its counts when the profile gets another scale', () => {
    const other = {
      ...scales,
      motorCurrentA: { ...scales.motorCurrentA, atZeroCount: -20, perCount: 0.0390625 },
    };
    const { zero } = calibrationFor([point({})], 'R-1', LOAD.at, other).channels.motorCurrentA!;
    // 0.4 A of 0.078125 A a count above count 512.
    expect(zero).toBeCloseTo((0.4 / 0.078125) * 0.0390625, 9);
  });

  it('is kept: neither changed nor removed, by this program or by a plain database tool', () => {
    store.addCalibration(point({}));
    store.addCalibration(LOAD);
    expect(store.listCalibrations('R-1')).toEqual([point({}), LOAD]);
    expect(store.listCalibrations('R-2')).toEqual([]);
    const database = new Sqlite(store.file);
    expect(() => database.exec('UPDATE calibrations SET reading = 0')).toThrow(/never changed/);
    expect(() => database.exec('DELETE FROM calibrations')).toThrow(/never removed/);
    database.close();
    expect(
      calibrationFor(store.listCalibrations('R-1'), 'R-1', LOAD.at, scales).channels.motorCurrentA!.zero,
    ).toBe(0.4);
  });

  it('corrects the samples of a rig, lost ones included, and leaves other channels and events alone', () => {
    let tell: (event: RigEvent) => void = () => {};
    const rig = {
      facts: { rigId: 'R-1' },
      onEvent: (listener: (event: RigEvent) => void) => {
        tell = listener;
        return () => {};
      },
      counters: () => ({ linesIn: 3 }),
    } as unknown as Rig;
    const corrected = calibratedRig(rig, calibrationFor([point({}), LOAD], 'R-1', LOAD.at, scales));
    const seen: RigEvent[] = [];
    corrected.onEvent((event) => seen.push(event));
    const supplyVoltageV = Float64Array.of(13, 13);
    const motorCurrentA = Float64Array.of(10.6, Number.NaN);
    tell({
      kind: 'samples',
      block: {
        timeS: Float64Array.of(0, 1),
        position: ['rest', 'rest'],
        channels: { motorCurrentA, supplyVoltageV },
      },
    });
    const [event] = seen;
    if (event?.kind !== 'samples') throw new Error('no samples');
    expect(event.block.channels.motorCurrentA![0]).toBeCloseTo(10, 12);
    expect(event.block.channels.motorCurrentA![1]).toBeNaN();
    expect(event.block.channels.supplyVoltageV).toBe(supplyVoltageV);
    expect(motorCurrentA[0]).toBe(10.6);
    expect(corrected.counters()).toEqual({ linesIn: 3 });
  });
});

describe('a rig whose id has a calibration', () => {
  const connectionOf = (rig: Partial<Rig>) => ({
    rig: { facts: { rigId: 'R-1' }, ...rig } as unknown as Rig,
    close: async () => {},
  });
  const profile = { rig: { scales } } as unknown as Parameters<typeof withCalibration>[2];
  const calibrated = calibrationFor([point({}), LOAD], 'R-1', LOAD.at, scales);

  it('gives the corrected scales and their uncertainties to whoever judges', () => {
    const given = withCalibration(
      connectionOf({}),
      { listCalibrations: () => [point({}), LOAD], listShiftChecks: () => [] },
      profile,
    );
    expect(given.scales).toEqual(correctedScales(scales, calibrated));
    expect(given.doubt).toBeUndefined();
  });

  it('widens the channel whose newest known-load check failed, says so, and forgets it after a calibration', () => {
    const failed = (at: string): ShiftCheck => ({
      rigId: 'R-1',
      channel: 'motorCurrentA',
      moment: 'end',
      at,
      reading: 10.3,
      readingUncertainty: 0.01,
      reference: 10,
      referenceUncertainty: 0.01,
      allowed: 0.1,
      isGood: false,
    });
    const withCheck = (at: string) =>
      withCalibration(
        connectionOf({}),
        { listCalibrations: () => [point({}), LOAD], listShiftChecks: () => [failed(at)] },
        profile,
      );
    const after = withCheck('2026-06-01T08:00:00Z');
    expect(after.doubt).toMatchObject([{ channel: 'motorCurrentA' }]);
    expect(after.doubt![0]!.sentence).toMatch(
      /the motor current on 2026-0[56]-\d\d \d\d:\d\d:\d\d failed \(10\.30 A read, 10\.00 A known\)/,
    );
    const { gainUncertaintyPercent } = correctedScales(scales, calibrated).motorCurrentA;
    // 0.3 A of 10 A: 3 % beside what the calibration left.
    expect(after.scales!.motorCurrentA.gainUncertaintyPercent).toBeCloseTo(
      Math.hypot(gainUncertaintyPercent, 3),
      9,
    );
    expect(withCheck('2000-01-01T08:00:00Z').doubt).toBeUndefined();
  });

  it('corrects bursts as it corrects the stream', async () => {
    const burst = {
      sampleRateHz: 9000,
      channels: { motorCurrentA: { timeS: Float64Array.of(0), value: Float64Array.of(10.6) } },
    };
    const corrected = calibratedRig(
      connectionOf({ prepareBurst: async () => ({ read: async () => burst }) }).rig,
      calibrated,
    );
    const { read } = await corrected.prepareBurst!({
      channels: ['motorCurrentA'],
      edge: 'now',
      beforeSamples: 0,
    });
    expect((await read(1)).channels.motorCurrentA!.value[0]).toBeCloseTo(10, 12);
    expect(burst.channels.motorCurrentA.value[0]).toBe(10.6);
  });
});

describe('a known-load check', () => {
  const check = (
    at: string,
    isGood: boolean,
    moment: ShiftCheck['moment'] = 'end',
    rigId?: string,
  ): ShiftCheck => ({
    rigId: rigId ?? RIG.rigId,
    channel: 'motorCurrentA',
    at,
    moment,
    reading: isGood ? 10 : 11,
    readingUncertainty: 0.01,
    reference: 10,
    referenceUncertainty: 0.05,
    allowed: 0.3,
    isGood,
  });
  const run = (startedAt: string): string => {
    const runId = store.beginRun(begin('V-0107', startedAt));
    store.finishRun(runId, { capture: capture(100), judgement: judgement() });
    return runId;
  };
  const doubted = (): string[] =>
    store.listRuns().flatMap(({ runId, doubt }) => (doubt === undefined ? [] : [runId]));

  it('that fails at the end puts every run since the last good one in doubt, and no other', () => {
    const before = run('2024-06-11T07:00:00.000Z');
    store.addShiftCheck(check('2024-06-11T08:00:00.000Z', true, 'start'));
    const first = run('2024-06-11T09:00:00.000Z');
    const second = run('2024-06-11T10:00:00.000Z');
    expect(doubted()).toEqual([]);
    store.addShiftCheck(check('2024-06-11T16:00:00.000Z', false));
    expect(doubted().sort()).toEqual([first, second].sort());
    expect(store.showRun(first).doubt).toMatch(
      /known-load check of the motor current .* failed \(11\.00 A read, 10\.00 A known\)/,
    );
    expect(store.showRun(before).doubt).toBeUndefined();
    // A good check afterwards clears nothing, and what comes after it is sound.
    store.addShiftCheck(check('2024-06-12T08:00:00.000Z', true, 'start'));
    run('2024-06-12T09:00:00.000Z');
    expect(doubted()).toHaveLength(2);
  });

  it('that stands failed puts the runs behind it in doubt too, until the rig is put right', () => {
    store.addShiftCheck(check('2024-06-11T08:00:00.000Z', false, 'start'));
    const behind = run('2024-06-11T09:00:00.000Z');
    expect(doubted()).toEqual([behind]);
    expect(store.showRun(behind).doubt).toMatch(/2024-06-1\d \d\d:00:00/);
    store.addCalibration({ ...point({}), ...{ at: '2024-06-11T09:30:00.000Z' }, rigId: RIG.rigId });
    const mended = run('2024-06-11T10:00:00.000Z');
    expect(doubted()).toEqual([behind]);
    store.addShiftCheck(check('2024-06-11T11:00:00.000Z', false, 'start'));
    const again = run('2024-06-11T12:00:00.000Z');
    expect(doubted().sort()).toEqual([behind, mended, again].sort());
    store.addShiftCheck(check('2024-06-11T13:00:00.000Z', true, 'start'));
    run('2024-06-11T14:00:00.000Z');
    expect(doubted()).toHaveLength(3);
  });

  it('of another rig says nothing; of several channels at one sitting any bad one counts', () => {
    const only = run('2024-06-11T09:00:00.000Z');
    store.addShiftCheck(check('2024-06-11T16:00:00.000Z', false, 'end', 'another-rig'));
    expect(doubted()).toEqual([]);
    store.addShiftCheck(check('2024-06-11T16:01:00.000Z', true));
    store.addShiftCheck({ ...check('2024-06-11T16:02:00.000Z', false), channel: 'feedCurrentA' });
    expect(doubted()).toEqual([only]);
  });

  it('joins the hash chain behind the records that were there, and changes none of them', () => {
    const runId = run('2024-06-11T09:00:00.000Z');
    const { hash } = store.showRun(runId);
    store.addShiftCheck(check('2024-06-11T16:00:00.000Z', false));
    expect(store.verify()).toMatchObject({ runs: 1, entries: 0, notes: 1, faults: [] });
    expect(store.showRun(runId).hash).toBe(hash);
    expect(store.verify(hash).expected).toEqual({ runId, later: 1 });
  });
});
