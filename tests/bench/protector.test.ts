// A motor's own protector under a held rotor: passed when it opens within its profile's limits, failed when it opens
// outside them or not at all, and never passed by a run that did not hold the rotor long enough.
// Published of window and seat motors: under 1 A within 4 to 90 s from cold at stall (workshop manuals: Toyota Paseo 1997
// and Camry Solara 2003, power windows; Lexus GS300 1997, power seats). The figures here are shorter, so
// that the virtual bench need not be held for minutes; sizes of the parts are common practice, no source.

import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type BenchEvent, type Desk, runUnit } from '../../host/bench/index.js';
import { type Judgement, judge } from '../../host/judge/index.js';
import { caseSchema, loadUnit, type ResolvedUnit } from '../../host/profile/index.js';
import { openStore, type Store } from '../../host/records/index.js';
import { openVirtualRig } from '../../host/virtual-rig/index.js';
import { expectationOf } from '../judge/known-expectations.js';
import { connectionTo } from './connection.js';

const SEED = 47;
/** Carries 5 A for ever; some 17 A held heat it (17/5)^2 / 4 as fast as the twice of it that the trip time is told for. */
const PROTECTOR = {
  coldResistanceOhm: 0.02,
  holdCurrentA: 5,
  resetS: 30,
};
const BIMETAL = { ...PROTECTOR, type: 'bimetal' as const, tripResistanceOhm: 1e6 };
const PTC = { ...PROTECTOR, type: 'ptc' as const, tripResistanceOhm: 60 };
let folder: string;
let store: Store;
let held: ResolvedUnit;
let free: ResolvedUnit;
let runs = 0;
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'throwbench-protector-'));
  store = openStore(folder);
  const load = (plan: string): ResolvedUnit => {
    const path = join(folder, 'held.yaml');
    writeFileSync(
      path,
      `id: held\ntitle: Held step\nkind: unit\ncircuit: relay-pair-ground-thrown\nmotor: entry-step\nrelay: mini-changeover\nplan: ${plan}\n`,
    );
    const unit = loadUnit(path);
    return { ...unit, motor: { ...unit.motor, protector: { opensFromS: 1.5, opensToS: 3 } } };
  };
  held = load('hold-the-rotor');
  free = load('throw-both-ways');
});
afterAll(() => {
  store.close();
  rmSync(folder, { recursive: true, force: true });
});

const desk: Desk = {
  prepare: async () => ({ timeS: new Float64Array(), lower: {}, upper: {} }),
  judge: async (unit, capture, stop) => judge({ unit, capture, expectation: expectationOf(unit, 20), stop }),
  close: async () => {},
};

async function run(unit: ResolvedUnit, given: object): Promise<Judgement & { heldS: number }> {
  const virtualCase = caseSchema.parse({ id: 'any', title: 'Any', kind: 'case', seed: SEED, ...given });
  const virtual = openVirtualRig({ unit, virtualCase, paced: false });
  const events: BenchEvent[] = [];
  await runUnit(
    {
      index: 0,
      // Each a unit of its own: one that was held is warm.
      tag: `V-${++runs}`,
      unit,
      connect: async () => ({ ...(await connectionTo(virtual, unit.rig)), hear: () => {} }),
    },
    { store, desk, signal: new AbortController().signal, now: () => new Date('2026-05-04T08:00:00Z') },
    (event) => events.push(event),
  );
  const judged = events.find((event) => event.kind === 'judged')!;
  const capture = store.readCapture(judged.runId)!;
  const samples = capture.position.filter((at, i) => at === 'reverse' && capture.feed![i] === 'full').length;
  return { ...judged.judgement, heldS: samples / capture.sampleRateHz };
}
const protectorOf = ({ checks }: Judgement) => checks.find(({ id }) => id === 'protector')!;

describe(`a protector under a held rotor (virtual bench, seed ${SEED})`, () => {
  it.each([
    ['a bimetal', { ...BIMETAL, tripTimeAtDoubleS: 6 }],
    ['a PTC, which goes on passing a little', { ...PTC, tripTimeAtDoubleS: 5 }],
  ])('passes when it opens in time, and is held no longer than that: %s', async (_, protector) => {
    const judgement = await run(held, { protector });
    const check = protectorOf(judgement);
    expect(check.outcome, check.sentence).toBe('pass');
    expect(check.required).toBe(true);
    expect(check.value).toBeGreaterThan(0.5);
    expect(check.value).toBeLessThan(3);
    expect(judgement.heldS).toBeLessThan(check.value! + 0.6);
    expect(judgement.verdict, judgement.sentence).toBe('pass');
    expect(judgement.checks.find(({ id }) => id === 'held-current-reverse')!.outcome).toBe('pass');
  });

  it('fails when it does not open for as long as it may take', async () => {
    const judgement = await run(held, {});
    expect(judgement.heldS).toBeGreaterThan(3);
    expect(protectorOf(judgement).outcome).toBe('fail');
    expect(protectorOf(judgement).sentence).toContain('does not open');
    expect(judgement.verdict).toBe('fail');
    expect(judgement.findings[0]!.id).toBe('motor-protector');
  });

  it('fails when it opens too soon', async () => {
    const judgement = await run(held, { protector: { ...BIMETAL, tripTimeAtDoubleS: 1.2 } });
    expect(protectorOf(judgement).outcome).toBe('fail');
    expect(judgement.verdict).toBe('fail');
    expect(judgement.findings[0]!.sentence).toContain('too soon');
  });

  it('is not tested, and so the run not passed, where motor or rig bear no hold as long', async () => {
    const brief = { ...held, motor: { ...held.motor, protector: { opensFromS: 4, opensToS: 90 } } };
    const judgement = await run(brief, {});
    // The motor's five seconds, less what the board's own longest hold needs.
    expect(judgement.heldS).toBeGreaterThan(4.5);
    expect(judgement.heldS).toBeLessThan(5);
    expect(protectorOf(judgement).outcome).toBe('not-tested');
    expect(judgement.verdict).toBe('cannot-tell');
  });

  it('is not told by a run that holds no rotor, even with a protector that would open', async () => {
    const judgement = await run(free, { protector: { ...BIMETAL, tripTimeAtDoubleS: 6 } });
    expect(protectorOf(judgement).outcome).toBe('not-tested');
    expect(protectorOf(judgement).required).toBe(false);
    expect(judgement.verdict, judgement.sentence).toBe('pass');
  });
});
