// A capture that holds one way only: nothing is asked of the other check by check, and the next thing to do is to bring it.
// The motor is integrated outside the program by the textbook equations (tests/references/outside-motor.ts).

import { describe, expect, it } from 'vitest';
import { judgementText } from '../../host/commands/judgement-text.js';
import { judge } from '../../host/judge/index.js';
import { loadUnit } from '../../host/profile/index.js';
import { asSeen, outsideRun } from '../references/outside-motor.js';
import { expectationOf } from './known-expectations.js';

const unit = loadUnit('window-lift-switch');
const capture = asSeen(
  outsideRun({ throws: [[0.3, 1.2, 1]], lasts: 1.6 }),
  ['motorCurrentA', 'leadAVoltageV', 'leadBVoltageV'],
  { seed: 5177 },
);
const judged = judge({ unit, capture, expectation: expectationOf(unit, 40) });

describe('a throw that the capture does not hold', () => {
  it('is told once, with both things that it may mean', () => {
    const text = judgementText(judged);
    expect(text.match(/this throw was not made/g)).toBeNull();
    expect(text.match(/Reverse is not in this run: \d+ checks of it were not tested\./g)).toHaveLength(1);
    expect(text).toContain(
      'Not seen in this capture: reverse. Either it was not thrown, or nothing flowed when it was.',
    );
  });

  it('is what to bring next, with the channel that is missing', () => {
    const [first] = judged.findings;
    expect(first?.id).toBe('healthy');
    expect(first?.nextProbe).toBe(
      'Repeat it with reverse thrown and the supply voltage sampled: that may show more.',
    );
  });

  it('keeps every check in the JSON, each with the throw that is missing', () => {
    const missing = judged.checks.filter(({ notMade }) => notMade === 'reverse');
    expect(missing.length).toBeGreaterThan(5);
    expect(missing.every(({ outcome }) => outcome === 'not-tested')).toBe(true);
  });
});
