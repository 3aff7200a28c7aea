// What an electrician does with a bad drop at the bench: press the clip, look again. A clip that was bitten on anew has
// another contact resistance; a joint inside the wire reads what it read (common practice, no source).

import { describe, expect, it } from 'vitest';
import { readsTheSame } from '../../host/bench/clips-pressed.js';
import { clipFaultsOf, drawInput, faultsOf, seededRandom } from '../../host/circuit/index.js';
import { type Judgement, judge } from '../../host/judge/index.js';
import { judgementRecord } from '../../host/records/index.js';
import { benchRun } from '../judge/bench.js';
import { expectationOf } from '../judge/known-expectations.js';
import { knownUnit } from '../profile/known-unit.js';

const SEED = 64031;
const UNIT = knownUnit('window-lift-switch');

/** The same unit, clipped on with so much in the path of that fault; the bench reads it anew. */
function judgedWith(id: string, ohm: number, bench: number, unit = UNIT): Judgement {
  const fault = [...clipFaultsOf(unit.style), ...faultsOf(unit.style)].find((one) => one.id === id);
  const [edit] = fault?.edits ?? [];
  if (fault === undefined || edit?.do !== 'series') throw new Error(`${id} is no series resistance`);
  const faults = [{ ...fault, edits: [{ ...edit, resistanceOhm: ohm }] }];
  const input = { ...drawInput(unit, seededRandom(SEED)), faults };
  const { capture, stop } = benchRun(unit, input, { seed: bench });
  return judge({ unit, capture, stop, expectation: expectationOf(unit) });
}

describe(`after a run that asked for the clip, drawn with seed ${SEED}`, () => {
  const first = judgedWith('ground-resistance', 0.4, 1);
  const before = judgementRecord(first);

  it('the first run names the clip, fails nobody, and says what it is if it reads the same', () => {
    expect(first.verdict).toBe('cannot-tell');
    expect(first.findings[0]?.id).toBe('ground-clip-weak');
    expect(first.sentence).toMatch(/If it reads the same then: the ground wire has a bad or corroded joint/);
  });

  it('the same ohms again are a joint, other ohms may be the clip still', () => {
    expect(readsTheSame(before, judgedWith('ground-resistance', 0.4, 2))).toBe(true);
    expect(readsTheSame(before, judgedWith('ground-clip-weak', 0.25, 3))).toBe(false);
    expect(readsTheSame(before, judgedWith('feed-clip-weak', 0.4, 4))).toBe(false);
  });

  it('with the clips ruled out it fails, and the joint comes first', () => {
    const unit = { ...UNIT, rig: { ...UNIT.rig, proven: ['clips' as const] } };
    const { verdict, findings } = judgedWith('ground-resistance', 0.4, 2, unit);
    expect(verdict).toBe('fail');
    expect(findings[0]?.id).toBe('ground-resistance');
    expect(findings[0]?.inseparable ?? []).not.toContain('ground-clip-weak');
  });
});
