// How one check is made: its id, its sentence with reading, limits and hint, and what it takes over from its kind.

import { describe, expect, it } from 'vitest';
import { checkOf, closeWords, numberCheck, untested } from '../../host/judge/check.js';
import type { CheckKind } from '../../host/judge/index.js';
import { runStretch } from '../../host/measure/index.js';
import { FORWARD, quantity } from './handmade.js';

const KIND: CheckKind = { id: 'inrush', of: 'motor', rank: 150 };
const number = (value: number, u: number, limits: { lower?: number; upper?: number }, hint?: string) =>
  numberCheck(KIND, {
    subject: 'It draws',
    quantity: quantity(value, u, 'A'),
    ...limits,
    origin: 'model',
    missing: 'not seen',
    hint,
  });

describe('the id of a check', () => {
  const told = { sentence: 'Told.', outcome: 'pass' } as const;
  it('is its kind where it is of the run as a whole', () => {
    const check = checkOf(KIND, told);
    expect(check.id).toBe('inrush');
    expect('throw' in check).toBe(false);
  });
  it('carries the position of the first throw', () => {
    expect(checkOf(KIND, { ...told, throw: FORWARD })).toMatchObject({
      id: 'inrush-forward',
      throw: FORWARD,
    });
  });
  it('carries position and number of a later throw', () => {
    const second = runStretch('full', 'reverse', { nth: 2 });
    expect(checkOf(KIND, { ...told, throw: second })).toMatchObject({
      id: 'inrush-reverse-2',
      throw: second,
    });
  });
});

describe('a check in words', () => {
  it('is required, generic and of its kind’s subject, unless told otherwise', () => {
    expect(checkOf(KIND, { sentence: 'Told.', outcome: 'fail' })).toEqual({
      id: 'inrush',
      kind: KIND,
      of: 'motor',
      required: true,
      origin: 'generic',
      sentence: 'Told.',
      outcome: 'fail',
    });
  });
  it('takes subject, origin and whether it is required from what is told', () => {
    const told = { sentence: '', outcome: 'fail', of: 'harness', required: false, origin: 'maker' } as const;
    expect(checkOf(KIND, told)).toMatchObject({ of: 'harness', required: false, origin: 'maker' });
  });
});

describe('a check of a number', () => {
  it('keeps reading, limits and outcome, and tells them in one sentence', () => {
    expect(number(4, 0.1, { lower: 3, upper: 6 })).toEqual({
      id: 'inrush',
      kind: KIND,
      of: 'motor',
      sentence: 'It draws 4.00 ± 0.10 A (expected 3.00 to 6.00 A).',
      value: 4,
      unit: 'A',
      expandedUncertainty: 0.1,
      lower: 3,
      upper: 6,
      outcome: 'pass',
      required: true,
      origin: 'model',
    });
  });

  it('leaves a limit out that there is none of', () => {
    const most = number(4, 0.1, { upper: 6 });
    expect(most.sentence).toBe('It draws 4.00 ± 0.10 A (at most 6.00 A).');
    expect('lower' in most).toBe(false);
    const least = number(4, 0.1, { lower: 3 });
    expect(least.sentence).toBe('It draws 4.00 ± 0.10 A (at least 3.00 A).');
    expect('upper' in least).toBe(false);
    expect(number(4, 0.1, {}).sentence).toBe('It draws 4.00 ± 0.10 A.');
  });

  // Guard band of ILAC-G8:09/2019, 4.2.3.
  it.each([
    [5, 'pass', 'It draws 5.00 ± 0.20 A (at most 6.00 A).'],
    [5.9, 'conditional-pass', 'It draws 5.90 ± 0.20 A (at most 6.00 A, too close to the limit to be sure).'],
    [
      6.1,
      'conditional-fail',
      'It draws 6.10 ± 0.20 A (at most 6.00 A, too close to the limit to be sure). Look there.',
    ],
    [7, 'fail', 'It draws 7.00 ± 0.20 A (at most 6.00 A). Look there.'],
  ] as const)(
    'of %f A against 6 A is a %s and tells its hint only where it is outside',
    (value, outcome, sentence) => {
      expect(number(value, 0.2, { upper: 6 }, 'Look there.')).toMatchObject({ outcome, sentence });
    },
  );

  it('tells no hint where there is none', () => {
    expect(number(7, 0.1, { upper: 6 }).sentence).toBe('It draws 7.00 ± 0.10 A (at most 6.00 A).');
    expect(number(7, 0.1, { upper: 6 }, '').sentence).toBe('It draws 7.00 ± 0.10 A (at most 6.00 A).');
  });

  it('tells volts of a drop by the thousandth where that is asked for', () => {
    const drop = numberCheck(KIND, {
      subject: 'It drops',
      quantity: quantity(0.12, 0.01, 'V'),
      upper: 0.25,
      origin: 'generic',
      missing: '',
      asMilli: true,
    });
    expect(drop.sentence).toBe('It drops 120 ± 10 mV (at most 250 mV).');
  });

  it('of a channel at the end of its range is a lower bound: it fails above a limit and passes below none', () => {
    const atEnd = (limits: { lower?: number; upper?: number }) =>
      numberCheck(KIND, {
        subject: 'The coil draws',
        quantity: { ...quantity(0.999, 0.011, 'A'), isAtEnd: true },
        ...limits,
        origin: 'generic',
        missing: '',
      });
    expect(atEnd({ lower: 0.1, upper: 0.2 })).toMatchObject({
      outcome: 'fail',
      sentence: 'The coil draws at least 1.0 A (expected 100 to 200 mA).',
    });
    expect(atEnd({ upper: 1.4 }).outcome).toBe('not-tested');
    expect(atEnd({ lower: 0.5 }).outcome).toBe('pass');
  });

  it('of what was not measured is not tested, for the reason that is told', () => {
    const missing = numberCheck(KIND, {
      throw: FORWARD,
      subject: 'It draws',
      quantity: undefined,
      upper: 6,
      required: false,
      origin: 'maker',
      missing: 'not tested, nobody looked',
      hint: 'Look there.',
    });
    expect(missing).toEqual({
      id: 'inrush-forward',
      kind: KIND,
      of: 'motor',
      throw: FORWARD,
      sentence: 'It draws: not tested, nobody looked.',
      outcome: 'not-tested',
      required: false,
      origin: 'maker',
    });
  });

  it('takes throw and whether it is required over', () => {
    const check = numberCheck(KIND, {
      throw: FORWARD,
      subject: 'It draws',
      quantity: quantity(4, 0.1, 'A'),
      required: false,
      origin: 'model',
      missing: '',
    });
    expect(check).toMatchObject({ id: 'inrush-forward', throw: FORWARD, required: false });
  });
});

describe('words behind a limit', () => {
  it('are there only where a reading is close to it', () => {
    const words = ', too close to the limit to be sure';
    expect(closeWords('conditional-pass')).toBe(words);
    expect(closeWords('conditional-fail')).toBe(words);
    for (const outcome of ['pass', 'fail', 'not-tested'] as const) expect(closeWords(outcome)).toBe('');
  });
});

describe('a check taken back', () => {
  const failed = number(7, 0.1, { upper: 6 });
  it('keeps its reading and its sentence', () => {
    expect(untested(failed)).toEqual({ ...failed, outcome: 'not-tested' });
  });
  it('tells why, where that is said', () => {
    expect(untested(failed, 'Nobody can say.')).toEqual({
      ...failed,
      outcome: 'not-tested',
      sentence: 'Nobody can say.',
    });
  });
});
