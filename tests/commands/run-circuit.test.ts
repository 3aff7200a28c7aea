// `run --circuit auto`: what a run reads like is offered, a person confirms it or does not, a pipe only tells it; and
// the record keeps what the verdict was made of.

import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { PassThrough } from 'node:stream';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type BenchEvent, type Desk, type OfferTools, runUnit } from '../../host/bench/index.js';
import { replay } from '../../host/bench/replay/index.js';
import { type BenchDriver, sitAtBench } from '../../host/commands/bench-session.js';
import { circuitOffer } from '../../host/commands/circuits-like.js';
import { makeRunCommand } from '../../host/commands/verbs/run.js';
import { judge } from '../../host/judge/index.js';
import { loadCase } from '../../host/profile/index.js';
import { openStore, type Store } from '../../host/records/index.js';
import { openVirtualRig } from '../../host/virtual-rig/index.js';
import { connectionTo } from '../bench/connection.js';
import { expectationOf } from '../judge/known-expectations.js';
import { plannedUnit } from '../profile/planned-unit.js';
import { call } from './call.js';

// The profile says grounded at rest; what is on the bench rests high.
const PROFILE = 'seat-slide-relays';
const PROFILES_OWN = plannedUnit(PROFILE);
const ON_BENCH = plannedUnit(PROFILE, undefined, { circuit: 'relay-pair-rests-high' });
let folder: string;
let store: Store;
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'throwbench-run-circuit-'));
  store = openStore(folder);
});
afterAll(() => {
  store.close();
  rmSync(folder, { recursive: true, force: true });
});

const desk: Desk = {
  prepare: async () => ({ timeS: new Float64Array(), lower: {}, upper: {} }),
  judge: async (unit, capture, stop) => {
    return judge({ unit, capture, stop, expectation: expectationOf(unit, 40) });
  },
  close: async () => {},
};

async function run(bench = ON_BENCH, choose?: OfferTools['choose']) {
  const virtual = openVirtualRig({ unit: bench, virtualCase: loadCase('seat-slide-good'), paced: false });
  const events: BenchEvent[] = [];
  const verdict = await runUnit(
    { index: 0, tag: 'V-0105', unit: PROFILES_OWN, connect: () => connectionTo(virtual, bench.rig) },
    {
      store,
      desk,
      signal: new AbortController().signal,
      now: () => new Date('2026-05-04T08:00:00Z'),
      readCircuit: (unit, capture, runId) => circuitOffer(capture, unit, PROFILE, runId),
      ...(choose ? { choose } : {}),
    },
    (event) => events.push(event),
  );
  const told = events.find((event) => event.kind === 'circuit')!;
  const judged = events.find((event) => event.kind === 'judged')!;
  return { verdict, told, record: store.showRun(judged.runId), capture: store.readCapture(judged.runId)! };
}

describe('a run that reads like another circuit than its profile', () => {
  it('in a pipe is judged as the profile says, with one line of what it reads like and how to confirm it', async () => {
    const { verdict, told, record } = await run();
    expect(verdict).not.toBe('pass');
    expect(told.ids).toEqual(['relay-pair-rests-high']);
    expect(told.likelihood).toBeGreaterThan(0.9);
    expect(told.judgedAs).toBe('relay-pair-ground-thrown');
    expect(told.sentence).not.toContain('\n');
    expect(told.sentence).toContain('a circuit that rests high, both leads at the feed');
    expect(told.sentence).toContain(
      `throwbench judge --recorded ${record.runId} --profile ${PROFILE} --circuit relay-pair-rests-high`,
    );
    expect(record.unit.style.id).toBe('relay-pair-ground-thrown');
  });

  it('once confirmed is judged and recorded as that, and a replay of the record agrees', async () => {
    const questions: string[] = [];
    const { verdict, told, record, capture } = await run(ON_BENCH, async ({ sentence }) => {
      questions.push(sentence);
      return true;
    });
    expect(questions).toHaveLength(1);
    expect(questions[0]).toContain('Judge it as relay-pair-rests-high? y: yes; Enter: no');
    expect(verdict, record.judgement?.sentence).toBe('pass');
    expect(told.judgedAs).toBe('relay-pair-rests-high');
    expect(record.unit.style.id).toBe('relay-pair-rests-high');
    expect(replay(record, capture, record.unit).verdict).toBe('pass');
    expect(store.verify().faults).toEqual([]);
  });

  it('is judged as the profile says when the person says no', async () => {
    const { verdict, told, record } = await run(ON_BENCH, async () => false);
    expect(verdict).not.toBe('pass');
    expect(told.judgedAs).toBe('relay-pair-ground-thrown');
    expect(record.unit.style.id).toBe('relay-pair-ground-thrown');
  });
});

describe('a run that reads like its profile', () => {
  it('asks nobody and says so', async () => {
    const { verdict, told } = await run(PROFILES_OWN, async () => {
      throw new Error('nothing is to be asked');
    });
    expect(verdict).toBe('pass');
    expect(told.sentence).toContain('as the profile says');
  });
});

describe('a person at a terminal without a screen', () => {
  it.each([
    ['y\n', true],
    ['Yes\n', true],
    ['\n', false],
    ['n\n', false],
  ])('answers %j: %s', async (typed, isYes) => {
    const stdin = new PassThrough() as unknown as NodeJS.ReadStream;
    let answer: boolean | undefined;
    const driver: BenchDriver = {
      runTray: (control) =>
        (async function* (): AsyncGenerator<BenchEvent> {
          yield { kind: 'caution', lines: [] };
          setTimeout(() => (stdin as unknown as PassThrough).write(typed), 5);
          answer = await control.choose?.();
        })(),
      close: async () => {},
    };
    const io = {
      stdout: () => {},
      stderr: () => {},
      isTty: true,
      columns: 80,
      rows: 24,
      cwd: '/',
      terminal: { stdin, stdout: process.stdout },
    };
    await sitAtBench(
      { units: [], kind: 'run', title: 'none' },
      { json: false, plain: true },
      io,
      async () => driver,
    );
    expect(answer).toBe(isYes);
  });
});

describe('throwbench run --circuit', () => {
  it.each([
    ['auto', PROFILES_OWN.style.id, true],
    ['relay-pair-rests-high', 'relay-pair-rests-high', false],
  ])('%s puts circuit %s on the bench', async (circuit, id, reads) => {
    const driver: BenchDriver = { runTray: async function* () {}, close: async () => {} };
    let seen: { style: string; reads: boolean } | undefined;
    const command = makeRunCommand(async (request) => {
      seen = { style: request.units[0]!.unit.style.id, reads: request.readCircuit !== undefined };
      return driver;
    });
    const bench = ['--unit', 'V-1', '--virtual', 'seat-slide-good', '--json'];
    await call(command, ['--profile', PROFILE, '--circuit', circuit, ...bench], folder);
    expect(seen).toEqual({ style: id, reads });
  });

  it('is refused for training', async () => {
    const command = makeRunCommand(async () => {
      throw new Error('not opened');
    });
    const args = ['--profile', PROFILE, '--virtual', 'random', '--circuit', 'auto'];
    await expect(call(command, args, folder)).rejects.toThrow('--circuit is not for training');
  });
});
