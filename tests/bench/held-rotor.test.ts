// A held rotor when the plan asks for one: the person is asked with outputs off, the current is held against the model,
// the protector is never passed unseen, and the warm motor is neither held again nor judged as a cold one.

import { cpSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type BenchEvent, type Desk, runUnit } from '../../host/bench/index.js';
import { judge } from '../../host/judge/index.js';
import { loadCase, loadUnit, type ResolvedUnit } from '../../host/profile/index.js';
import { openStore, type Store } from '../../host/records/index.js';
import { openVirtualRig } from '../../host/virtual-rig/index.js';
import { expectationOf } from '../judge/known-expectations.js';
import { connectionTo } from './connection.js';

const SEED = 37;
const HELD_AT = '2026-05-04T08:00:00Z';
const GOOD = loadCase('entry-step-good');
let folder: string;
let store: Store;
let held: ResolvedUnit;
/** The hold that every test here begins with. */
let first: Awaited<ReturnType<typeof run>>;
beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'throwbench-held-'));
  store = openStore(folder);
  const path = join(folder, 'held.yaml');
  writeFileSync(
    path,
    'id: held\ntitle: Held step\nkind: unit\ncircuit: relay-pair-ground-thrown\nmotor: entry-step\nrelay: mini-changeover\nplan: hold-the-rotor\nwiring: { lengthM: 1.5, areaMm2: 2.5 }\n',
  );
  held = loadUnit(path);
  first = await run(held, HELD_AT);
});
afterAll(() => {
  store.close();
  rmSync(folder, { recursive: true, force: true });
});

const desk: Desk = {
  prepare: async () => ({ timeS: new Float64Array(), lower: {}, upper: {} }),
  judge: async (unit, capture, stop) => {
    return judge({ unit, capture, expectation: expectationOf(unit, 10), stop });
  },
  close: async () => {},
};

async function run(unit: ResolvedUnit, at: string) {
  const virtual = openVirtualRig({ unit, virtualCase: GOOD, paced: false, seed: SEED });
  const events: BenchEvent[] = [];
  const verdict = await runUnit(
    {
      index: 0,
      tag: 'V-0107',
      unit,
      connect: async () => ({ ...(await connectionTo(virtual, unit.rig)), hear: () => {} }),
    },
    { store, desk, signal: new AbortController().signal, now: () => new Date(at) },
    (event) => events.push(event),
  );
  const judged = events.find((event) => event.kind === 'judged');
  return {
    verdict,
    events,
    checks: judged?.judgement.checks ?? [],
    measured: judged?.judgement.measured ?? {},
  };
}
const check = (checks: Awaited<ReturnType<typeof run>>['checks'], id: string) =>
  checks.find((one) => one.id === id);

describe(`a plan that holds the rotor (virtual bench, seed ${SEED})`, () => {
  it('asks the person, holds the current against the model and tells the protector as not tested', () => {
    const { verdict, events, checks, measured } = first;
    const prompt = events.find((event) => event.kind === 'prompt');
    expect(prompt?.prompt.sentence).toContain('cannot turn');
    for (const way of ['forward', 'reverse']) {
      const found = check(checks, `held-current-${way}`);
      expect(found?.outcome, found?.sentence).toBe('pass');
      // 12.7 V over 0.6 Ohm and the wiring, within the motor's 10 %.
      expect(measured[`${way}HeldRotorCurrentA`]!.value).toBeGreaterThan(13);
      expect(measured[`${way}HeldRotorCurrentA`]!.value).toBeLessThan(20);
    }
    expect(check(checks, 'running-forward')).toBeUndefined();
    const protector = check(checks, 'protector');
    expect(protector?.outcome).toBe('not-tested');
    expect(protector?.required).toBe(false);
    expect(verdict, checks.map(({ id, outcome }) => `${id} ${outcome}`).join(', ')).toBe('pass');
  });

  it('refuses a second hold while the motor is warm, without touching the rig', async () => {
    const { verdict, events } = await run(held, '2026-05-04T08:00:30Z');
    expect(verdict).toBe('cannot-tell');
    const aborted = events.find((event) => event.kind === 'unit-aborted');
    expect(aborted?.sentence).toContain('cool for 60 s');
    expect(events.some((event) => event.kind === 'rig-ready')).toBe(false);
  });

  it('marks a later run of that unit as tested warm, until it has cooled', async () => {
    const unit = loadUnit('entry-step-relays');
    const warm = await run(unit, '2026-05-04T08:01:00Z');
    expect(check(warm.checks, 'tested-warm')?.sentence).toContain('held 60 s before');
    const cold = await run(unit, '2026-05-04T08:02:00Z');
    expect(check(cold.checks, 'tested-warm')).toBeUndefined();
  });

  it('cannot be loaded without asking first, nor beside throws that run free', () => {
    const profiles = join(folder, 'profiles');
    cpSync(fileURLToPath(new URL('../../profiles/', import.meta.url)), profiles, { recursive: true });
    const load = (steps: string): ResolvedUnit => {
      const lines = `id: odd-plan\ntitle: Odd\nkind: plan\nsteps:\n${steps}`;
      writeFileSync(join(profiles, 'plans', 'odd-plan.yaml'), lines);
      const unit = `id: odd\ntitle: Odd\nkind: unit\ncircuit: switch-carried-open-rest\nmotor: roof-vent\nplan: odd-plan\n`;
      writeFileSync(join(profiles, 'units', 'odd.yaml'), unit);
      return loadUnit('odd', profiles);
    };
    const limited = ['rest', 'forward', 'rest', 'reverse', 'rest']
      .map((position) => `  - { position: ${position}, durationS: 0.3, feed: limited }\n`)
      .join('');
    const ask = `${limited}  - { position: rest, durationS: 0.3, ask: hold-rotor }\n`;
    const heldThrow = '  - { position: forward, durationS: 1, heldRotor: true }\n';
    const rest = '  - { position: rest, durationS: 0.5 }\n';
    expect(load(ask + heldThrow + rest).plan.steps).toHaveLength(8);
    expect(() => load(heldThrow)).toThrow(/before anybody was asked/);
    expect(() => load(`${ask}${heldThrow}${rest}  - { position: reverse, durationS: 1 }\n`)).toThrow(
      /runs free while others are held/,
    );
    expect(() => load(`${ask}  - { position: rest, durationS: 1, heldRotor: true }\n`)).toThrow(
      /only a throw with the full feed/,
    );
    // Longer than the motor bears: the same limit as for any throw, enforced by the board as well.
    expect(() => load(ask + heldThrow.replace('durationS: 1', 'durationS: 6'))).toThrow(/too long a throw/);
  });
});
