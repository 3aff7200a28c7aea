// A drive with limit switches stands anywhere before its first throw, and travels as far as it does: neither is a fault.
// What it should read follows from its circuit alone (worked by hand): at a limit nothing flows towards it, and back from
// it the motor starts through a diode.

import { mkdtempSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import { type Expectation, expectation, type Judgement, judge } from '../../host/judge/index.js';
import type { ResolvedUnit } from '../../host/profile/index.js';
import { runDirectly } from '../accuracy/direct-run.js';
import { withKnownMotor } from '../profile/known-unit.js';
import { plannedUnit } from '../profile/planned-unit.js';

const folder = mkdtempSync(join(tmpdir(), 'throwbench-stood-'));

function drive(circuit: string, travelS?: number): ResolvedUnit {
  const path = join(folder, `${circuit}-${travelS ?? 'untold'}.yaml`);
  const relay = circuit.includes('relay') ? 'relay: mini-changeover\n' : '';
  const travel = travelS === undefined ? '' : `travelS: ${travelS}\n`;
  writeFileSync(
    path,
    `id: drive\ntitle: Drive\nkind: unit\ncircuit: ${circuit}\nmotor: entry-step\n${relay}${travel}`,
  );
  return withKnownMotor(plannedUnit(path));
}

interface Really {
  /** Travel of what hangs there, where it is another than the profile's. */
  real?: ResolvedUnit;
  standsAt: number;
  faults?: string[];
}

function judged(
  unit: ResolvedUnit,
  expected: Expectation,
  { real, standsAt, faults = [] }: Really,
): Judgement {
  const seed = 5;
  const { capture, stop } = runDirectly({
    ...{ unit: { ...(real ?? unit), plan: unit.plan }, truth: faults[0] ?? 'healthy', seed },
    virtualCase: {
      ...{ id: 'any', title: 'Any', kind: 'case', seed, faults, motorScale: {} },
      ...{ supply: { voltageV: 12.6 }, temperatureC: 20, standsAt },
    },
  });
  return judge({ unit, capture, expectation: expected, stop });
}

const outcomeOf = ({ checks }: Judgement, id: string): string | undefined =>
  checks.find((check) => check.id === id)?.outcome;

describe.each(['limit-actuator-relay-pair', 'limit-actuator-switch'])('%s', (circuit) => {
  let unit: ResolvedUnit;
  let expected: Expectation;
  beforeAll(() => {
    unit = drive(circuit, 1);
    expected = expectation(unit);
  });

  it.each([0, 0.03, 0.3, 0.7, 0.97, 1])('passes a good one that stands at %f of its travel', (standsAt) => {
    const told = judged(unit, expected, { standsAt });
    expect(told.verdict, told.sentence).toBe('pass');
    expect(told.sentence).not.toMatch(/mA forward/);
  });

  it('says that it stood at its limit, and judges it by the throw back', () => {
    const { checks } = judged(unit, expected, { standsAt: 1 });
    const stood = checks.find(({ id }) => id === 'stood-at-limit-forward');
    expect(stood?.sentence).toBe(
      'Forward: the drive stood at that limit already, or just before it; it is judged by the throw back from the other end.',
    );
    expect(checks.some(({ id }) => id === 'inrush-forward')).toBe(false);
    expect(checks.find(({ id }) => id === 'inrush-forward-2')?.outcome).toBe('pass');
  });

  it('cannot tell one that is thrown once each way and shows nothing towards where it stood', () => {
    const once = { ...unit, plan: { ...unit.plan, steps: unit.plan.steps.slice(0, -2) } };
    const told = judged(once, expectation(once), { standsAt: 1 });
    expect(told.verdict).toBe('cannot-tell');
    expect(outcomeOf(told, 'stood-at-limit-forward')).toBe('not-tested');
    expect(told.findings[0]?.id ?? 'healthy').toBe('healthy');
  });

  it.each([0, 0.6, 1])('names a limit switch that stays closed or open, from %f', (standsAt) => {
    for (const fault of ['limit-forward-stuck-closed', 'limit-reverse-open']) {
      const { verdict, findings } = judged(unit, expected, { standsAt, faults: [fault] });
      const [first] = findings;
      expect(verdict, fault).not.toBe('pass');
      expect([first?.id, ...(first?.causes ?? []).map(({ id }) => id)], fault).toContain(fault);
    }
  });

  it('takes no travel of its style for that of a drive that nobody has timed', () => {
    const untold = drive(circuit);
    const limits = expectation(untold);
    for (const travelS of [0.7, 4]) {
      const real = drive(circuit, travelS);
      for (const standsAt of [0, 0.5, 1]) {
        const told = judged(untold, limits, { real, standsAt });
        expect(told.verdict, told.sentence).not.toBe('fail');
        expect(told.findings[0]?.id ?? 'healthy').toBe('healthy');
      }
    }
  });

  it('tests the limits of one whose travel is told, and fails one that is much slower', () => {
    const timed = drive(circuit, 3);
    const limits = expectation(timed);
    expect(judged(timed, limits, { standsAt: 0.4 }).verdict).toBe('pass');
    const slow = judged(timed, limits, { real: drive(circuit, 4.6), standsAt: 0 });
    expect(slow.verdict).not.toBe('pass');
    expect(
      slow.checks.filter(({ kind, outcome }) => kind.id === 'limit-stop' && outcome === 'fail'),
    ).not.toEqual([]);
  });
});
