// What a failed protector means, alone and beside other failures.

import { describe, expect, it } from 'vitest';
import { checkOf } from '../../host/judge/check.js';
import { heldRotorChecks } from '../../host/judge/checks/held-rotor.js';
import type { Check, Finding } from '../../host/judge/index.js';
import { withProtector } from '../../host/judge/protector-finding.js';
import { contextOf, shipped } from './handmade.js';

const PAIR = shipped('entry-step-relays');
/** The protector's own check, with another outcome. */
function protector(more: Partial<Check>): Check {
  const motor = { ...PAIR.motor, protector: { opensFromS: 4, opensToS: 40 } };
  const [check] = heldRotorChecks(contextOf({ unit: { ...PAIR, motor } }));
  if (check === undefined) throw new Error('no check of a protector');
  return { ...check, required: true, ...more };
}
const other = (outcome: Check['outcome'], required = true): Check =>
  checkOf({ id: 'inrush', of: 'motor', rank: 1 }, { sentence: '', outcome, required });

const OTHERS: Finding[] = [{ id: 'motor-open', likelihood: 0.5, sentence: 'Open.', nextProbe: 'Look.' }];
const found = (checks: readonly Check[]): Finding[] => withProtector(checks, 'motor', () => OTHERS);

const LATE = "The motor's protector does not open in time: welded, bridged, or not fitted.";
const SOON = "The motor's protector opens too soon: aged, or one for a smaller motor.";

describe('a protector that alone fails', () => {
  it('is the cause, nearly for sure, with what to do next', () => {
    expect(found([other('pass'), protector({ outcome: 'fail' })])).toEqual([
      {
        id: 'motor-protector',
        likelihood: 0.95,
        sentence: LATE,
        nextProbe:
          'Let the motor cool for an hour and hold it once more, cold; look whether a protector is fitted.',
      },
    ]);
  });

  it.each([
    ['never opened', {}, LATE],
    ['opened beyond its limit', { value: 50, upper: 40 }, LATE],
    ['opened before its limit', { value: 2, upper: 40 }, SOON],
    ['opened at its limit', { value: 40, upper: 40 }, SOON],
    ['opened without a limit', { value: 2 }, LATE],
  ])('because it %s', (_, more, sentence) => {
    expect(found([protector({ outcome: 'fail', ...more })])[0]?.sentence).toBe(sentence);
  });

  it('by a hair is the cause too', () => {
    expect(found([protector({ outcome: 'conditional-fail' })])[0]?.id).toBe('motor-protector');
  });

  it('is the cause beside what nobody requires', () => {
    expect(found([other('fail', false), protector({ outcome: 'fail' })])[0]?.id).toBe('motor-protector');
  });
});

describe('other causes are asked', () => {
  it.each([
    ['nothing fails', [other('pass'), protector({ outcome: 'pass' })]],
    ['something else fails', [other('fail'), protector({ outcome: 'not-tested' })]],
    ['something else fails before it', [other('fail'), protector({ outcome: 'fail' })]],
    ['something else fails behind it', [protector({ outcome: 'fail' }), other('conditional-fail')]],
    ['nobody requires the protector', [protector({ outcome: 'fail', required: false })]],
    ['nothing was asked', []],
  ])('where %s', (_, checks) => expect(found(checks)).toBe(OTHERS));
});
