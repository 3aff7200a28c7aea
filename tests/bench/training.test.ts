// Training: what is hidden, what measurements of it read (Ohm's law, the profile's own figures), what is told when.

import { existsSync, mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { PassThrough } from 'node:stream';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { BenchEvent, Desk } from '../../host/bench/index.js';
import { caseOf, hideFault, isRight, nameablesOf } from '../../host/bench/training/hidden-fault.js';
import { HEALTHY, searchNames, Training } from '../../host/bench/training/index.js';
import { proofs, twoProofs } from '../../host/bench/training/proof.js';
import { TrueCircuits } from '../../host/bench/training/true-circuits.js';
import { faultsOfUnit } from '../../host/circuit/index.js';
import { openVirtual } from '../../host/commands/open-bench.js';
import { talkTraining } from '../../host/commands/training-talk.js';
import { probeMenu, seenDifference } from '../../host/diagnose/index.js';
import { measure } from '../../host/measure/index.js';
import { plainValues } from '../../host/profile/index.js';
import { gathering } from '../commands/call.js';
import { plannedUnit } from '../profile/planned-unit.js';

const RELAYS = 'entry-step-relays';
const SWITCH = 'roof-vent-switch';
/** Of everything drawn on the bench. */
const SEED = 41;

const asked = (profile: string, fault: string, probe: string) => {
  const unit = plannedUnit(profile);
  const choice = probeMenu(unit).find(({ id }) => id === probe);
  if (!choice) throw new Error(`no probe ${probe}`);
  const { readings } = choice.ask(new TrueCircuits(unit, caseOf(unit, fault, SEED)));
  return Object.fromEntries(readings.map(({ label, value }) => [label, value]));
};

describe('what is hidden', () => {
  it.each([RELAYS, SWITCH])(
    'in %s is one fault of the style, a condition of the motor, or nothing',
    (profile) => {
      const unit = plannedUnit(profile);
      const names = nameablesOf(unit).map(({ id }) => id);
      expect(new Set(names).size).toBe(names.length);
      for (const { id } of faultsOfUnit(unit)) expect(names).toContain(id);
      expect(names).toEqual(expect.arrayContaining([HEALTHY, 'motor-turns-light', 'motor-winding-shorted']));
    },
  );

  it('is drawn evenly from that list, nothing once in ten runs (seeds 1 to 900)', () => {
    const unit = plannedUnit(SWITCH);
    const names = nameablesOf(unit).map(({ id }) => id);
    const counts = new Map<string, number>();
    for (let seed = 1; seed <= 900; seed++) {
      const { id } = hideFault(unit, seed);
      counts.set(id, (counts.get(id) ?? 0) + 1);
    }
    // Binomial, 10 per cent of 900: 90 within four deviations of 9.
    expect(counts.get(HEALTHY)).toBeGreaterThan(54);
    expect(counts.get(HEALTHY)).toBeLessThan(126);
    expect([...counts.keys()].sort()).toEqual([...names].sort());
  });

  it('is the same again from the same seed', () => {
    const unit = plannedUnit(RELAYS);
    expect(hideFault(unit, 7)).toEqual(hideFault(unit, 7));
    const some = new Set([1, 2, 3, 4, 5, 6].map((seed) => hideFault(unit, seed).id));
    expect(some.size).toBeGreaterThan(2);
  });

  it('is named rightly by itself or by another of its unbranched path', () => {
    const names = nameablesOf(plannedUnit(RELAYS));
    const grouped = names.filter(({ group }) => group !== undefined);
    const like = (one: (typeof names)[number]) =>
      grouped.find((each) => each !== one && each.group === one.group);
    const one = grouped.find((each) => like(each) !== undefined);
    const two = like(one!);
    const other = names.find(({ id }) => id === 'k2-coil-open')!;
    expect(isRight(one!, one!)).toBe(true);
    expect(isRight(one!, two!)).toBe(true);
    expect(isRight(one!, other)).toBe(false);
    expect(isRight(names[0]!, other)).toBe(false);
  });

  it('is found by typing words in any order and case', () => {
    const names = nameablesOf(plannedUnit(RELAYS));
    const found = searchNames(names, 'OPEN coil k2');
    expect(found.map(({ id }) => id)).toContain('k2-coil-open');
    for (const { id, sentence } of found)
      expect(`${sentence} ${id}`).toMatch(/(?=.*open)(?=.*coil)(?=.*k2)/i);
    expect(found.length).toBeLessThan(names.length / 4);
    expect(searchNames(names, '')).toEqual(names);
    expect(searchNames(names, 'no such words')).toEqual([]);
  });
});

describe(`measurements on the hidden circuit, bench ${SEED}`, () => {
  it('read the resistances of the profile where they lie unplugged', () => {
    const unit = plannedUnit(RELAYS);
    const coilOhm = plainValues(unit.relay!).coilResistanceOhm;
    const good = asked(RELAYS, HEALTHY, 'coil-k1');
    expect(good['86 to 85 of K1']! / coilOhm).toBeGreaterThan(0.85);
    expect(good['86 to 85 of K1']! / coilOhm).toBeLessThan(1.15);
    expect(good['30 to 87 of K1']).toBe(Number.POSITIVE_INFINITY);
    expect(good['30 to 87a of K1']).toBeLessThan(0.05);
    // A coil for twice the voltage has four times the resistance (same armature, same copper); the meter sees it beside
    // the relay's own resistor.
    const { suppression } = unit.relay!;
    const besideS = suppression.kind === 'resistor' ? 1 / suppression.resistanceOhm : 0;
    const other = asked(RELAYS, 'k1-coil-24v', 'coil-k1');
    const coilS = [good, other].map((readings) => 1 / readings['86 to 85 of K1']! - besideS);
    expect(coilS[0]! / coilS[1]!).toBeCloseTo(4, 2);
    expect(asked(RELAYS, 'k1-coil-open', 'coil-k1')['86 to 85 of K1']).toBe(Number.POSITIVE_INFINITY);
    expect(asked(RELAYS, 'k2-coil-open', 'coil-k1')).toEqual(good);
    expect(asked(RELAYS, 'k1-make-welded', 'coil-k1')['30 to 87 of K1']).toBeLessThan(0.05);
    expect(asked(RELAYS, 'motor-open', 'lead-to-lead-ohm')['Lead to lead of the motor']).toBe(
      Number.POSITIVE_INFINITY,
    );
    expect(asked(RELAYS, 'motor-shorted', 'lead-to-lead-ohm')['Lead to lead of the motor']).toBeLessThan(
      0.05,
    );
    expect(asked(RELAYS, 'k1-coil-open', 'lead-to-lead-ohm')).toEqual(
      asked(RELAYS, HEALTHY, 'lead-to-lead-ohm'),
    );
  });

  it('see the fault move along with an exchanged relay, and stay with the socket', () => {
    const coil = asked(RELAYS, 'k2-coil-open', 'exchange-relays');
    expect(Math.abs(coil['Motor current, forward']!)).toBeLessThan(0.01);
    expect(coil['Motor current, reverse']).toBeLessThan(-1);
    const before = asked(RELAYS, 'k2-coil-open', 'current-reverse');
    expect(Math.abs(before['Motor current, reverse']!)).toBeLessThan(0.01);
    const socket = asked(RELAYS, 'k2-87-87a-exchanged', 'exchange-relays');
    expect(Math.abs(socket['Motor current, forward']!)).toBeLessThan(0.1);
    expect(asked(RELAYS, 'motor-gearbox-bound', 'exchange-relays')['Motor current, forward']).toBeGreaterThan(
      1,
    );
  });

  it("read a joint's drop as its resistance times the current (0.5 Ohm, Ohm's law)", () => {
    const drop = asked(RELAYS, 'feed-resistance', 'drop-feed');
    const current = asked(RELAYS, 'feed-resistance', 'current-forward');
    const good = asked(RELAYS, HEALTHY, 'drop-feed');
    const goodCurrent = asked(RELAYS, HEALTHY, 'current-forward');
    const wireOhm = good['Along feed wire, forward']! / goodCurrent['Feed current, forward']!;
    const ohm = drop['Along feed wire, forward']! / current['Feed current, forward']!;
    expect(ohm - wireOhm).toBeCloseTo(0.5, 2);
  });

  it('go through the limited feed where the full one would trip the rig', () => {
    const unit = plannedUnit(SWITCH);
    const choice = probeMenu(unit).find(({ id }) => id === 'current-forward')!;
    const short = choice.ask(new TrueCircuits(unit, caseOf(unit, 'motor-shorted', SEED)));
    expect(short.note).toBe('Through the limited feed: the full one trips the rig.');
    // About 13 V over 12 Ohm.
    expect(short.readings[1]!.value).toBeGreaterThan(0.8);
    expect(short.readings[1]!.value).toBeLessThan(1.3);
    expect(choice.ask(new TrueCircuits(unit, caseOf(unit, HEALTHY, SEED))).note).toBeUndefined();
  });

  it.each([
    [RELAYS, 'k1-four-pin'],
    [SWITCH, 'lead-a-shorted-to-ground'],
    [SWITCH, 'motor-brushes-worn'],
  ])('of %s prove %s by two readings of two measurements', (profile, fault) => {
    const unit = plannedUnit(profile);
    const circuits = (id: string) => new TrueCircuits(unit, caseOf(unit, id, SEED));
    const two = twoProofs(proofs(probeMenu(unit), circuits(fault), circuits(HEALTHY)));
    expect(new Set(two.map(({ probeId }) => probeId)).size).toBe(2);
    for (const { reading, goodValue } of two) expect(seenDifference(reading, goodValue)).toBeGreaterThan(2);
  });
});

describe('a training run', () => {
  let logs: string;
  const before = process.env.THROWBENCH_LOGS;
  beforeAll(() => {
    logs = mkdtempSync(join(tmpdir(), 'throwbench-training-'));
    process.env.THROWBENCH_LOGS = join(logs, 'records');
  });
  afterAll(() => {
    if (before === undefined) delete process.env.THROWBENCH_LOGS;
    else process.env.THROWBENCH_LOGS = before;
    rmSync(logs, { recursive: true, force: true });
  });

  /** Says aloud what must not be heard. */
  const desk: Desk = {
    prepare: async () => ({ timeS: new Float64Array(), lower: {}, upper: {} }),
    judge: async (unit, capture) => ({
      verdict: 'fail',
      sentence: 'SECRET reason.',
      checks: [
        {
          id: 'secret',
          kind: { id: 'secret', of: 'unit', rank: 0 },
          of: 'unit',
          sentence: 'SECRET check.',
          outcome: 'fail',
          required: true,
          origin: 'generic',
        },
      ],
      findings: [{ id: 'secret', likelihood: 1, sentence: 'SECRET finding.', nextProbe: 'SECRET probe.' }],
      measured: measure(capture, { rig: unit.rig }).measured,
    }),
    close: async () => {},
  };

  async function train(lines: string[], json: boolean) {
    const unit = plannedUnit(SWITCH);
    const training = new Training(unit, SEED);
    const events: BenchEvent[] = [];
    const run = training.run.bind(training);
    training.run = async function* (tools) {
      for await (const event of run(tools)) {
        events.push(event);
        yield event;
      }
    };
    const { io, written } = gathering(logs);
    const stdin = new PassThrough();
    stdin.end(lines.map((line) => `${line}\n`).join(''));
    const tools = {
      connect: (virtualCase: Parameters<typeof openVirtual>[1]) => openVirtual(unit, virtualCase, false),
      desk,
      signal: new AbortController().signal,
      now: () => new Date('2024-06-11T09:00:00Z'),
    };
    const reveal = await talkTraining(
      training,
      tools,
      { json, theme: { unicode: true, colour: false } },
      io,
      stdin,
    );
    return { out: written.stdout, events, reveal, training };
  }

  it(`tells of what is hidden only when it was named, and records nothing (seed ${SEED}, JSON)`, async () => {
    const unit = plannedUnit(SWITCH);
    const hidden = hideFault(unit, SEED);
    const { out, events, reveal, training } = await train(
      ['1', 'current-forward', '1', 'name no-such', `name ${hidden.id}`, '2'],
      true,
    );
    const kinds = events.map(({ kind }) => kind);
    expect(kinds).toContain('samples');
    expect(kinds).toContain('outputs-off');
    for (const kind of ['check', 'judged', 'stored']) expect(kinds).not.toContain(kind);
    const stream = JSON.stringify(events);
    for (const secret of ['SECRET', hidden.id, hidden.sentence]) expect(stream).not.toContain(secret);
    expect(JSON.stringify(training)).not.toContain('virtualCase');
    const objects = out
      .trimEnd()
      .split('\n')
      .map((line) => JSON.parse(line));
    expect(objects.map(({ kind }) => kind)).toEqual([
      'training-start',
      'answer',
      'answer',
      'answer',
      'found',
      'training',
    ]);
    const beforeLast = JSON.stringify(objects.slice(0, -1));
    expect(beforeLast).not.toContain('SECRET');
    expect(beforeLast.split(hidden.id).length - 1).toBeLessThanOrEqual(
      1 + beforeLast.split(`${hidden.id}-`).length - 1,
    );
    expect(objects.every((object) => object.kind !== 'training-start' || object.training === true)).toBe(
      true,
    );
    expect(objects.at(-1)).toMatchObject({
      training: true,
      right: true,
      seed: SEED,
      hidden: { id: hidden.id, sentence: hidden.sentence },
      named: { id: hidden.id },
      // Asked twice is one measurement.
      probesAsked: 2,
      firstFinding: 'SECRET finding.',
    });
    expect(reveal?.right).toBe(true);
    expect(existsSync(join(logs, 'records'))).toBe(false);
    expect(readdirSync(logs)).toEqual([]);
  });

  it(`talks in lines, and tells when the learner gives up or input ends (seed ${SEED})`, async () => {
    const { out, reveal } = await train(['99', 'coil', 'menu', 'no such words', 'give up', '1'], false);
    expect(out.startsWith('TRAINING on the virtual bench: no real unit, nothing is recorded.\n')).toBe(true);
    expect(out).toMatch(/\n\(usual\) +rest +forward +reverse\n/);
    expect(out).toMatch(/There is no measurement 99; type 1 to \d+\./);
    expect(out).toContain('Nothing in the list has all these words');
    expect(out).toMatch(/\nNOT NAMED after 0 measurements\. It was: /);
    expect(out.trimEnd().endsWith(`The same again: --seed ${SEED}`)).toBe(true);
    expect(reveal).toMatchObject({ right: false, probesAsked: 0 });
    expect(reveal?.named).toBeUndefined();
  });
});
