// Which way the output went, held against the profile: it keeps a unit from passing, and fails nobody.

import { describe, expect, it } from 'vitest';
import { nominalInput } from '../../host/circuit/index.js';
import { judge, judgementJson } from '../../host/judge/index.js';
import type { ResolvedUnit, WaySeen } from '../../host/profile/index.js';
import { wayText } from '../../host/tell/index.js';
import { withFaults } from '../circuit/with-faults.js';
import { knownUnit } from '../profile/known-unit.js';
import { benchRun } from './bench.js';
import { expectationOf } from './known-expectations.js';

const UNIT = knownUnit('entry-step-relays');
const EXPECTED = expectationOf(UNIT, 40);
const SEED = 4201;

function told(moved?: WaySeen['moved'], faults: string[] = [], as: ResolvedUnit = UNIT) {
  const { capture, stop } = benchRun(UNIT, withFaults(nominalInput(UNIT), ...faults), { seed: SEED });
  const unit = moved === undefined ? as : { ...as, way: { moved, by: 'person' as const } };
  return judge({ unit, capture, stop, expectation: EXPECTED });
}

describe(`what somebody saw of the output (bench ${SEED})`, () => {
  it('is told beside a pass that it agrees with, as a key of its own', () => {
    const { verdict, way, checks } = told('as-forward');
    expect(verdict).toBe('pass');
    expect(way).toEqual({ moved: 'as-forward', by: 'person', words: 'out', declared: 'out' });
    expect(checks.map(({ id }) => id)).not.toContain('way-in-doubt');
    expect(judgementJson(told('as-forward')).way).toEqual(way);
    expect(judgementJson(told())).not.toHaveProperty('way');
  });

  it('against the profile leaves a unit that is electrically right in doubt, and accuses nobody', () => {
    const { verdict, sentence, findings, checks, way } = told('as-reverse');
    expect(verdict).toBe('cannot-tell');
    expect(sentence).toMatch(
      /^Forward should move it out; it moved in: the leads of the motor are exchanged, or its windings run the other way\./,
    );
    expect(findings).toEqual([]);
    expect(checks[0]).toMatchObject({ id: 'way-in-doubt', outcome: 'not-tested' });
    expect(checks.slice(1)).toEqual(told().checks);
    expect(way?.inDoubt).toBe(checks[0]?.sentence);
  });

  it('that nothing moved leaves it in doubt too, whatever the profile declares', () => {
    expect(told('still').sentence).toMatch(/^Forward should move it out; it did not move: /);
    const { moves: _, ...bare } = UNIT.unit;
    const undeclared = told('still', [], { ...UNIT, unit: bare });
    expect(undeclared.verdict).toBe('cannot-tell');
    expect(undeclared.sentence).toMatch(/^Thrown forward it did not move: /);
  });

  it.each(['unseen', 'opened', 'closed'] as const)('"%s" speaks against nothing', (moved) => {
    const { moves: _, ...bare } = UNIT.unit;
    const { verdict, way } = told(moved, [], { ...UNIT, unit: bare });
    expect(verdict).toBe('pass');
    expect(way?.inDoubt).toBeUndefined();
  });

  it('takes nothing back of a unit that fails, and leaves its cause first', () => {
    const fault = ['motor-leads-exchanged'];
    const without = told(undefined, fault);
    const { verdict, sentence, checks, findings } = told('as-reverse', fault);
    expect(verdict).toBe('fail');
    expect(sentence).toBe(without.sentence);
    expect(checks.slice(1)).toEqual(without.checks);
    expect(findings).toEqual(without.findings);
  });
});

describe('in words', () => {
  it.each([
    ['as-forward', 'out', 'out', 'out, as it should (told by a person)'],
    ['as-reverse', 'in', 'out', 'in, and should move it out (told by a person)'],
    ['still', 'did not move', 'out', 'did not move, and should move it out (told by a person)'],
    ['unseen', 'not seen', 'out', 'not seen (told by a person)'],
    [
      ...(['opened', 'opened', undefined] as const),
      'opened (told by a person); the profile does not say which way is right',
    ],
  ])('%s', (moved, words, declared, text) =>
    expect(wayText({ moved, words, declared, by: 'person' })).toBe(text),
  );
});
