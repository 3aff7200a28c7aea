// A switch thrown by hand, judged: what the hand may have caused is never failed, what it cannot have caused is.

import { describe, expect, it } from 'vitest';
import { drawInput, seededRandom } from '../../host/circuit/index.js';
import { judge } from '../../host/judge/index.js';
import { withFaults } from '../circuit/with-faults.js';
import { knownUnit } from '../profile/known-unit.js';
import { benchRun } from './bench.js';
import { expectationOf } from './known-expectations.js';

const SEED = 23;
const unit = knownUnit('entry-step-by-hand');
const expected = expectationOf(unit, 40);

function judged(faults: string[]) {
  const input = withFaults(drawInput(unit, seededRandom(SEED)), ...faults);
  const { capture, stop } = benchRun(unit, input, { seed: SEED });
  const judgement = judge({ unit, capture, expectation: expected, stop });
  const [first] = judgement.findings;
  return { ...judgement, first, named: first ? [first.id, ...(first.inseparable ?? [])] : [] };
}

describe(`a hand-thrown relay pair, draw of seed ${SEED}`, () => {
  it('passes when good', () => expect(judged([]).verdict).toBe('pass'));

  it('is not failed for leads that are exchanged: the hand may have been', () => {
    const { verdict, sentence, named, first } = judged(['motor-leads-exchanged']);
    expect(verdict).toBe('cannot-tell');
    expect(sentence).toContain('Leads exchanged, or each time the other side of the switch was thrown');
    expect(named).toContain('motor-leads-exchanged');
    expect(named).toContain('thrown-the-other-way');
    expect(first!.nextProbe).toMatch(/^Look which side of the switch is which and throw again\./);
  });

  it.each(['k1-coil-open', 'trigger-forward-open'])(
    'is not failed for a throw that shows nothing: %s',
    (fault) => {
      const { verdict, sentence, named } = judged([fault]);
      expect(verdict).toBe('cannot-tell');
      expect(sentence).toContain('it was not thrown, or nothing of it gets through');
      expect(named).toContain(fault);
      expect(named).toContain('not-thrown');
    },
  );

  it.each(['ground-open', 'k1-87-feed-open', 'motor-brushes-worn', 'k2-make-welded'])(
    'is failed for what no hand can do: %s',
    (fault) => {
      const { verdict, named } = judged([fault]);
      expect(verdict).toBe('fail');
      expect(named).toContain(fault);
      expect(named).not.toContain('not-thrown');
    },
  );

  it('is failed for the same when the rig threw', () => {
    const byRig = { ...unit, plan: { ...unit.plan, throwBy: 'rig' as const } };
    const input = withFaults(drawInput(unit, seededRandom(SEED)), 'motor-leads-exchanged');
    const { capture, stop } = benchRun(byRig, input, { seed: SEED });
    expect(judge({ unit: byRig, capture, expectation: expected, stop }).verdict).toBe('fail');
  });
});
