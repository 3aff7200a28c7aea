// Whatever is wrong with the rig's own links, contacts and clips, no unit fails for it: every fault of the rig, every
// kind of unit that the rig has parts in, every plan, a good unit each; two with THROWBENCH_RIG_UNITS=2.

import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { drawInput, type Fault, rigFaultsOf, seededRandom } from '../../host/circuit/index.js';
import { type Expectation, expectation, type Judgement, judge } from '../../host/judge/index.js';
import { holdsRotor, type ResolvedUnit } from '../../host/profile/index.js';
import { plannedUnit } from '../profile/planned-unit.js';
import { benchRun } from './bench.js';
import { relayBenchRun } from './relay-bench.js';

const UNITS = new URL('../../profiles/units/', import.meta.url);
const SEEDS = [11, 12];
const UNITS_EACH = Number(process.env.THROWBENCH_RIG_UNITS ?? 1);
const PLANS: Record<string, readonly string[]> = {
  'entry-step-alone': ['throw-both-ways', 'hold-the-rotor', 'full-feed-only', 'travel-to-the-limits'],
  // The same links with another motor on them.
  'window-lift-alone': ['hold-the-rotor'],
};
const folder = mkdtempSync(join(tmpdir(), 'throwbench-rig-faults-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const names = readdirSync(UNITS)
  .map((file) => file.replace('.yaml', ''))
  .filter((id) => rigFaultsOf(plannedUnit(id).style).length > 0);

/** On a rig that has proven no part of itself. */
const withPlan = (id: string, plan: string): ResolvedUnit => {
  const path = join(folder, `${id}-${plan}.yaml`);
  const text = readFileSync(new URL(`${id}.yaml`, UNITS), 'utf8').replace(/^plan:.*$/m, '');
  writeFileSync(path, `${text}\nplan: ${plan}\n`);
  const unit = plannedUnit(path);
  return { ...unit, rig: { ...unit.rig, proven: [] } };
};

function judged(unit: ResolvedUnit, expected: Expectation, fault: Fault, seed: number): Judgement {
  const input = { ...drawInput(unit, seededRandom(seed)), faults: [fault] };
  if (expected.kind === 'relay')
    return judge({ unit, capture: relayBenchRun(unit, input, seed), expectation: expected });
  const held = holdsRotor(unit.plan) ? { rotorHeld: true } : {};
  const { capture, stop } = benchRun(unit, { ...input, ...held }, { seed });
  return judge({ unit, capture, expectation: expected, stop });
}

describe(`no unit fails for the rig, seeds ${SEEDS.join(', ')}`, () => {
  it('has units of more than one kind to try', () => {
    expect(new Set(names.map((id) => plannedUnit(id).unit.subject))).toEqual(
      new Set(['harness', 'harness-with-motor', 'motor', 'relay']),
    );
  });

  it.each(names.flatMap((id) => (PLANS[id] ?? [plannedUnit(id).plan.id]).map((plan) => [id, plan] as const)))(
    '%s on the plan %s',
    (id, plan) => {
      const unit = withPlan(id, plan);
      const expected = expectation(unit, { draws: 30 });
      const faults = rigFaultsOf(unit.style);
      expect(faults.length).toBeGreaterThan(3);
      const failed = faults.flatMap((fault, place) =>
        [...SEEDS, ...SEEDS].slice(place % 2, (place % 2) + UNITS_EACH).flatMap((seed) => {
          const { verdict, sentence, findings } = judged(unit, expected, fault, seed);
          return verdict === 'fail' ? [`${fault.id}, seed ${seed}: ${sentence} (${findings[0]?.id})`] : [];
        }),
      );
      expect(failed).toEqual([]);
    },
  );
});
