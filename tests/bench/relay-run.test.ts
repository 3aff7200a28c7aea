// A relay by itself on the emulated board with the shipped firmware: the whole run from prompts to record, and what
// must never be switched on.

import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, describe, expect, it } from 'vitest';
import { type BenchEvent, type Desk, runTray } from '../../host/bench/index.js';
import { boundOf, judge } from '../../host/judge/index.js';
import { caseSchema, loadUnit, type ResolvedUnit, withoutRamp } from '../../host/profile/index.js';
import { openStore } from '../../host/records/index.js';
import { openVirtualRig } from '../../host/virtual-rig/index.js';
import { expectationOf } from '../judge/known-expectations.js';
import { connectionTo } from './connection.js';

const WITH_RAMP = loadUnit('mini-changeover-alone');
const NO_RAMP: ResolvedUnit = { ...WITH_RAMP, plan: withoutRamp(WITH_RAMP.plan) };
/** The desk without its thread. */
const desk: Desk = {
  prepare: async (unit) => boundOf(expectationOf(unit)),
  judge: async (unit, capture, stop) => judge({ unit, capture, expectation: expectationOf(unit), stop }),
  close: async () => {},
};

const folder = mkdtempSync(join(tmpdir(), 'throwbench-relay-'));
afterEach(() => rmSync(folder, { recursive: true, force: true }));

interface There {
  seed: number;
  faults?: string[];
  temperatureC?: number;
  voltageV?: number;
  /** Nobody at the bench: neither hands nor keys. */
  alone?: boolean;
}

async function run(unit: ResolvedUnit, there: There) {
  const { seed, faults = [], temperatureC = 22, voltageV } = there;
  const virtualCase = caseSchema.parse({
    id: 'on-the-bench',
    title: 'On the bench',
    kind: 'case',
    seed,
    faults,
    temperatureC,
    ...(voltageV === undefined ? {} : { supply: { voltageV } }),
  });
  const store = openStore(folder);
  const events: BenchEvent[] = [];
  const stream = runTray({
    units: [
      {
        tag: 'K-0001',
        unit,
        connect: async () => {
          const virtual = openVirtualRig({ unit, virtualCase, paced: false, seed });
          return {
            ...(await connectionTo(virtual, unit.rig)),
            ...(virtual.hear && there.alone !== true ? { hear: virtual.hear } : {}),
          };
        },
      },
    ],
    store,
    desk,
    signal: new AbortController().signal,
    now: () => new Date(0),
  });
  for await (const event of stream) events.push(event);
  const judged = events.find((event) => event.kind === 'judged');
  if (judged?.kind !== 'judged') throw new Error(`not judged: ${events.map(({ kind }) => kind).join(' ')}`);
  const capture = store.readCapture(judged.runId)!;
  store.close();
  return { events, judgement: judged.judgement, capture };
}

const asks = (events: BenchEvent[]): string[] =>
  events.flatMap((event) =>
    event.kind === 'prompt' && event.prompt.code === 'ask' ? [event.prompt.ask ?? ''] : [],
  );

describe('a relay by itself on the virtual bench', () => {
  it('passes after two prompts, pull-in and drop-out measured; the record gives the same verdict, seed 61', async () => {
    const { events, judgement, capture } = await run(WITH_RAMP, { seed: 61 });
    expect(judgement.verdict, judgement.sentence).toBe('pass');
    expect(asks(events)).toEqual(['exchange-coil', 'ramp-coil']);
    expect(judgement.measured.pullInVoltageV!.value).toBeGreaterThan(5);
    // The turning is over long before the step's longest time.
    expect(capture.timeS.at(-1)!).toBeLessThan(25);
    expect(capture.gaps).toEqual([]);
    const again = judge({ unit: WITH_RAMP, capture, expectation: expectationOf(WITH_RAMP) });
    expect(again).toEqual(judgement);
  });

  it('passes without the turning at 40 C and 11 V, seed 62', async () => {
    const { judgement } = await run(NO_RAMP, { seed: 62, temperatureC: 40, voltageV: 11 });
    expect(judgement.verdict, judgement.sentence).toBe('pass');
  });

  it('finds a welded working contact, seed 64', async () => {
    const { judgement } = await run(NO_RAMP, { seed: 64, faults: ['k1-make-welded'] });
    expect(judgement.verdict).toBe('fail');
    expect(judgement.findings[0]?.id).toBe('k1-make-welded');
  });

  // The coil fuse of the reference rig is a quick 2 A blade; a diode the wrong way round would take it.
  it.each([
    ['k1-diode-reversed', 66],
    ['k1-30-86-exchanged', 67],
  ])('never puts the whole supply on %s, seed %d', async (fault, seed) => {
    const { judgement, capture } = await run(NO_RAMP, { seed, faults: [fault] });
    expect(judgement.verdict).toBe('fail');
    expect(judgement.sentence).toMatch(/full supply was not put on it/);
    expect([judgement.findings[0]?.id, judgement.findings[1]?.id]).toContain(fault);
    expect(capture.position).not.toContain('forward');
    expect(Math.max(...capture.channels.coilCurrentA!)).toBeLessThan(0.12);
  });

  it('leaves out what nobody is there to do, and cannot tell, seed 68', async () => {
    const { events, judgement, capture } = await run(WITH_RAMP, { seed: 68, alone: true });
    expect(judgement.verdict).toBe('cannot-tell');
    expect(asks(events)).toEqual([]);
    expect(judgement.checks.find(({ id }) => id === 'suppression')?.outcome).toMatch(/not-tested|pass/);
    expect(judgement.checks.find(({ id }) => id === 'pull-in')?.outcome).toBe('not-tested');
    expect(capture.notes.some((note) => /Nobody could be asked/.test(note))).toBe(true);
  });
});
