// Circuit styles told from readings: every shipped style from its own healthy units, with and without a coil channel;
// and the question that is asked when the profile names another one.

import { mkdtempSync, readdirSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { drawInput, seededRandom, simulatePlan } from '../../host/circuit/index.js';
import { judge, readingOfRun, readingOfStyle, recognise } from '../../host/judge/index.js';
import { measure } from '../../host/measure/index.js';
import type { ResolvedUnit } from '../../host/profile/index.js';
import { plannedUnit } from '../profile/planned-unit.js';
import { benchRun } from './bench.js';
import { expectationOf } from './known-expectations.js';

const SEED = 61;
const folder = mkdtempSync(join(tmpdir(), 'throwbench-recognise-'));
const ids = readdirSync(new URL('../../profiles/circuits/', import.meta.url)).map((name) =>
  name.replace('.yaml', ''),
);

function unitOf(circuit: string): ResolvedUnit {
  const path = join(folder, `any-${circuit}.yaml`);
  const lines = ['id: any', 'title: Any unit', 'kind: unit', `circuit: ${circuit}`, 'motor: entry-step'];
  for (const relay of ['', 'relay: mini-changeover']) {
    writeFileSync(path, `${[...lines, relay].join('\n')}\n`);
    try {
      return plannedUnit(path);
    } catch {}
  }
  throw new Error(`no unit of ${circuit}`);
}

const units = new Map(
  ids.flatMap((id) => {
    try {
      const unit = unitOf(id);
      return unit.unit.subject === 'harness-with-motor' ? [[id, unit] as const] : [];
    } catch {
      // A relay alone takes no motor.
      return [];
    }
  }),
);
const styles = [...units.values()].map(({ style }) => style);

/** Readings of one healthy draw; `coil` false leaves that channel out, as an imported capture may. */
function read(unit: ResolvedUnit, seed: number, coil = true) {
  const capture = simulatePlan(drawInput(unit, seededRandom(seed)), unit.plan, {
    sampleRateHz: 2500,
    solver: { relativeTolerance: 1e-3 },
  });
  const { coilCurrentA: _, ...channels } = capture.channels;
  const seen = coil ? capture : { ...capture, channels };
  return readingOfRun(measure(seen, { nominalVoltageV: 12, ripple: false }), 12);
}

describe('a healthy unit read without knowing its style', () => {
  it('covers the nine styles', () => expect(styles.length).toBeGreaterThanOrEqual(9));

  it.each([...units.keys()])(
    `is recognised among all styles: %s, draws of seeds ${SEED} and ${SEED + 1}`,
    (id) => {
      for (const seed of [SEED, SEED + 1]) {
        const [first, second] = recognise(read(units.get(id)!, seed), styles);
        expect(first!.ids).toContain(id);
        expect(first!.against).toEqual([]);
        expect(first!.likelihood).toBeGreaterThan(2 * second!.likelihood);
      }
    },
  );

  it.each([...units.keys()])(`is among the likeliest without a coil channel: %s, seed ${SEED}`, (id) => {
    const seen = read(units.get(id)!, SEED, false);
    expect(seen.coil).toBeUndefined();
    const ranked = recognise(seen, styles);
    const own = ranked.findIndex((entry) => entry.ids.includes(id));
    expect(ranked[own]!.against).toEqual([]);
    // Only styles that differ by nothing but coils, or by a limit not reached, may stand before it.
    expect(own).toBeLessThanOrEqual(2);
  });

  it('puts styles that read the same together, and shares out all of the likelihood', () => {
    const ranked = recognise(read(units.get('relay-pair-ground-thrown')!, SEED), styles);
    expect(ranked[0]!.ids).toContain('relay-pair-positive-thrown');
    expect(ranked.reduce((sum, { likelihood }) => sum + likelihood, 0)).toBeCloseTo(1, 9);
  });
});

describe('a run held against a style', () => {
  const judged = (bench: ResolvedUnit, profile: ResolvedUnit, coil = true) => {
    const run = benchRun(bench, drawInput(bench, seededRandom(SEED)), { seed: SEED });
    const { coilCurrentA: _, ...channels } = run.capture.channels;
    const capture = coil ? run.capture : { ...run.capture, channels };
    return judge({
      unit: profile,
      capture,
      stop: run.stop,
      expectation: expectationOf(profile, 24),
    });
  };
  const question = (checks: readonly { id: string; sentence: string }[]) =>
    checks.find(({ id }) => id === 'circuit-style')?.sentence;

  it.each(['relay-pair-rests-high', 'switch-carried-open-rest'])(
    'asks nothing and passes when it is its own: %s',
    (id) => {
      const { verdict, checks } = judged(units.get(id)!, units.get(id)!);
      expect(verdict).toBe('pass');
      expect(question(checks)).toBeUndefined();
    },
  );

  it('never fails a healthy rest-high pair without a coil channel', () => {
    const { verdict, checks } = judged(
      units.get('relay-pair-rests-high')!,
      units.get('relay-pair-rests-high')!,
      false,
    );
    expect(verdict).toBe('cannot-tell');
    expect(checks.filter(({ outcome }) => outcome === 'fail')).toEqual([]);
    expect(question(checks)).toBeUndefined();
  });

  it.each([
    [
      'relay-pair-rests-high',
      'relay-pair-ground-thrown',
      'a circuit that rests high, both leads at the feed',
    ],
    ['relay-pair-ground-thrown', 'switch-carried-grounded-rest', 'a circuit worked by relays'],
  ])('asks whether the profile is right: %s judged as %s', (bench, profile, told) => {
    const { verdict, checks } = judged(units.get(bench)!, units.get(profile)!);
    expect(verdict).not.toBe('pass');
    expect(question(checks)).toContain(`This reads like ${told}`);
    expect(question(checks)).toContain('is the profile right?');
  });

  it.each([
    ['relay-pair-ground-thrown', 'relay-pair-rests-high', 'a circuit that rests on ground or open'],
    [
      'switch-carried-open-rest',
      'switch-carried-grounded-rest',
      'a circuit that lets the motor coast when released',
    ],
  ])('tells what speaks against the other style: %s read as %s', (bench, other, told) => {
    const [entry] = recognise(read(units.get(bench)!, SEED), [units.get(other)!.style]);
    expect(entry!.against.join(' ')).toContain(told);
  });

  it('reads from a style what the style says', () => {
    expect(readingOfStyle(units.get('single-relay')!.style)).toEqual({
      rest: 'low',
      release: 'coast',
      coil: true,
      forward: 'positive',
      reverse: 'none',
      stopsItself: false,
    });
  });
});
