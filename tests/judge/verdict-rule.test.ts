// From checks to one verdict and its one sentence: whose sentence is told first.

import { describe, expect, it } from 'vitest';
import type { Check } from '../../host/judge/index.js';
import { reasonOf, verdictOf } from '../../host/judge/verdict-rule.js';

const check = (outcome: Check['outcome'], sentence = '', rank = 0, required = true): Check => ({
  id: 'any',
  kind: { id: 'any', of: 'unit', rank },
  of: 'unit',
  sentence,
  outcome,
  required,
  origin: 'generic',
});
const optional = (outcome: Check['outcome'], sentence = ''): Check => check(outcome, sentence, 0, false);

describe('the verdict', () => {
  it.each([
    ['all passed', [check('pass'), check('pass')], true, 'pass'],
    ['one fails', [check('pass'), check('fail'), check('not-tested')], true, 'fail'],
    ['one fails conditionally', [check('pass'), check('conditional-fail')], true, 'cannot-tell'],
    ['one was not tested', [check('pass'), check('not-tested')], true, 'cannot-tell'],
    ['one passes conditionally, and that counts', [check('pass'), check('conditional-pass')], true, 'pass'],
    [
      'one passes conditionally, and that does not count',
      [check('pass'), check('conditional-pass')],
      false,
      'cannot-tell',
    ],
    ['nothing was asked', [], true, 'cannot-tell'],
    ['only what nobody requires was asked', [optional('pass')], true, 'cannot-tell'],
    ['what nobody requires fails', [check('pass'), optional('fail')], true, 'pass'],
    ['what nobody requires was not tested', [check('pass'), optional('not-tested')], true, 'pass'],
  ] as const)('when %s', (_, checks, counts, verdict) => {
    expect(verdictOf(checks, counts)).toBe(verdict);
  });
});

describe('the reason for a fail', () => {
  it('is the sentence of the failing check with the lowest rank, and how many more failed', () => {
    const checks = [
      check('fail', 'Drop.', 120),
      check('pass', 'Fine.', 0),
      check('fail', 'Short.', 10),
      check('conditional-fail', 'Close.', 0),
      check('fail', 'Lead.', 60),
    ];
    expect(reasonOf('fail', checks)).toBe('Short. And 2 more.');
  });

  it('is the sentence alone where one check failed', () => {
    expect(reasonOf('fail', [check('pass', 'Fine.'), check('fail', 'Short.')])).toBe('Short.');
  });

  it('is the first that was asked among equals', () => {
    expect(reasonOf('fail', [check('fail', 'One.', 7), check('fail', 'Two.', 7)])).toBe('One. And 1 more.');
  });

  it('is never that of a check that nobody requires', () => {
    expect(reasonOf('fail', [optional('fail', 'Told only.'), check('fail', 'Short.')])).toBe('Short.');
  });
});

describe('the reason for "cannot tell"', () => {
  const untested = check('not-tested', 'Not seen.', 50);
  const close = check('conditional-fail', 'Just out.', 5);
  const closePass = check('conditional-pass', 'Just in.', 1);

  it('is what was not tested, before what is close', () => {
    expect(reasonOf('cannot-tell', [closePass, close, untested])).toBe('Not seen.');
  });
  it('is what is just outside, before what is just inside', () => {
    expect(reasonOf('cannot-tell', [closePass, close])).toBe('Just out.');
  });
  it('is what is just inside, where that does not count', () => {
    expect(reasonOf('cannot-tell', [check('pass', 'Fine.'), closePass])).toBe('Just in.');
  });
  it('is that nothing was tested, where nothing was', () => {
    expect(reasonOf('cannot-tell', [])).toBe('Nothing was tested.');
  });
  it('counts only checks of the same outcome', () => {
    expect(reasonOf('cannot-tell', [untested, check('not-tested', 'Nor that.', 60), close])).toBe(
      'Not seen. And 1 more.',
    );
  });
});

describe('the reason for a pass', () => {
  it('counts the required checks', () => {
    expect(reasonOf('pass', [check('pass'), check('pass'), optional('pass')])).toBe(
      'All 2 checks are within limits.',
    );
  });
  it('tells how many passed closely', () => {
    expect(reasonOf('pass', [check('pass'), check('conditional-pass'), optional('conditional-pass')])).toBe(
      'All 2 checks are within limits, 1 of them closely.',
    );
  });
});
