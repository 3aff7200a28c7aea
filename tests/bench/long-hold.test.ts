// A motor alone whose profile declares a protector, held until that opens: the shipped profile, plan and case, on the shipped
// firmware. Published of window lifts: under 1 A within 4 to 90 s (workshop manuals: Toyota Paseo 1997, Camry Solara 2003).

import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type BenchEvent, type Desk, runUnit } from '../../host/bench/index.js';
import type { Capture } from '../../host/capture/index.js';
import { meltingTimeS } from '../../host/circuit/index.js';
import { judge } from '../../host/judge/index.js';
import { drivenSteps, loadCase, loadUnit } from '../../host/profile/index.js';
import { openStore, type Store } from '../../host/records/index.js';
import { openVirtualRig } from '../../host/virtual-rig/index.js';
import { expectationOf } from '../judge/known-expectations.js';
import { connectionTo } from './connection.js';

const PLAN = { plan: 'hold-for-protector' };
const held = () => loadUnit('window-lift-protected-alone', undefined, PLAN);

describe('a hold until the protector opens', () => {
  it("lasts for the board's sixty seconds at the most", () => {
    const step = drivenSteps(held()).find(({ untilProtectorOpens }) => untilProtectorOpens);
    expect(step?.durationS).toBeCloseTo(59.7, 1);
  });

  it('is refused for a motor that declares no protector, with what it would take', () => {
    expect(() => loadUnit('window-lift-alone', undefined, PLAN)).toThrow(
      /window-lift declares no protector: 20 A at 13 V for 60 s are 16 kJ that nothing stops/,
    );
  });

  // RIG.md, motor alone: the quick edge of the published gates (ISO 8820-3) at the held current over the rating.
  it('finds a fuse that stays whole for it where the rating is right, and one of 15 A that may not', () => {
    for (const [heldA, ratedA] of [
      [16, 15],
      [22, 20],
      [27, 25],
      [30, 30],
    ] as const)
      expect(meltingTimeS(heldA / ratedA, 0), `${heldA} A`).toBeGreaterThan(60);
    expect(meltingTimeS(20 / 15, 0)).toBeLessThan(60);
  });

  it('is refused with a harness on the bench', () => {
    const folder = mkdtempSync(join(tmpdir(), 'throwbench-hold-'));
    const path = join(folder, 'held.yaml');
    writeFileSync(
      path,
      'id: held\ntitle: Held\nkind: unit\ncircuit: relay-pair-ground-thrown\nmotor: window-lift-protected\nrelay: mini-changeover\n',
    );
    expect(() => loadUnit(path, undefined, PLAN)).toThrow(/has wires and contacts that it would heat/);
    rmSync(folder, { recursive: true });
  });
});

describe('on the virtual bench, seed 212', () => {
  let store: Store;
  let folder: string;
  const events: BenchEvent[] = [];
  const desk: Desk = {
    prepare: async () => ({ timeS: new Float64Array(), lower: {}, upper: {} }),
    judge: async (unit, capture, stop) =>
      judge({ unit, capture, expectation: expectationOf(unit, 20), stop }),
    close: async () => {},
  };
  async function run(at: string): Promise<void> {
    const unit = held();
    const virtual = openVirtualRig({ unit, virtualCase: loadCase('protector-opens'), paced: false });
    await runUnit(
      {
        index: 0,
        tag: 'V-0120',
        unit,
        connect: async () => ({ ...(await connectionTo(virtual, unit.rig)), hear: () => {} }),
      },
      { store, desk, signal: new AbortController().signal, now: () => new Date(at) },
      (event) => events.push(event),
    );
  }
  beforeAll(async () => {
    folder = mkdtempSync(join(tmpdir(), 'throwbench-hold-'));
    store = openStore(folder);
    await run('2026-05-04T08:00:00Z');
  });
  afterAll(() => {
    store.close();
    rmSync(folder, { recursive: true, force: true });
  });

  it('passes the protector, and holds no longer than it takes', () => {
    const judged = events.find((event) => event.kind === 'judged')!;
    const check = judged.judgement.checks.find(({ id }) => id === 'protector')!;
    // Heat as the square of the current, one time constant: some 15 A against 6 A for ever trips at about 9 s, then it climbs.
    expect(check.outcome, check.sentence).toBe('pass');
    expect(check.value).toBeGreaterThan(5);
    expect(check.value).toBeLessThan(20);
    expect(judged.judgement.verdict, judged.judgement.sentence).toBe('pass');
    const capture = store.readCapture(judged.runId)!;
    const samples = capture.position.filter((_, i) => isHeld(capture, i)).length;
    expect(samples / capture.sampleRateHz).toBeLessThan(check.value! + 0.7);
  });

  it('counts down meanwhile, with the stop named', () => {
    const told = events.flatMap((event) => (event.kind === 'prompt' ? [event.prompt] : []));
    const holds = told.filter(({ code }) => code === 'hold').map(({ sentence }) => sentence);
    expect(holds[0]).toBe(
      'Held until its protector opens, 60 s more at most. The stop switch is armed; Space or Esc: outputs off.',
    );
    expect(holds.length).toBeGreaterThan(1);
    expect(told.at(-1)!.code).toBe('done');
  });

  it('lets it cool for ten minutes before it is held again', async () => {
    events.length = 0;
    await run('2026-05-04T08:05:00Z');
    const aborted = events.find((event) => event.kind === 'unit-aborted')!;
    expect(aborted.sentence).toMatch(/let it cool for \d+ s before it is held again/);
  });
});

const isHeld = ({ position, feed }: Capture, i: number): boolean =>
  position[i] === 'forward' && feed?.[i] === 'full';
