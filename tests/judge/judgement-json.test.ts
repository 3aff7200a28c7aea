// What programs are told of a judgement: names and values, nothing of what a check is made of inside.

import { describe, expect, it } from 'vitest';
import { checkOf, numberCheck } from '../../host/judge/check.js';
import { checkJson, judgementJson } from '../../host/judge/index.js';
import { FORWARD, measuredOf, quantity } from './handmade.js';

const KIND = { id: 'inrush', of: 'motor', rank: 1, isOfStart: true } as const;
const numbered = numberCheck(KIND, {
  throw: FORWARD,
  subject: 'It draws',
  quantity: quantity(7, 0.1, 'A'),
  lower: 3,
  upper: 6,
  origin: 'model',
  missing: '',
});

describe('a check', () => {
  it('is told without kind, subject and throw', () => {
    expect(checkJson(numbered)).toEqual({
      id: 'inrush-forward',
      sentence: 'It draws 7.00 ± 0.10 A (expected 3.00 to 6.00 A).',
      value: 7,
      unit: 'A',
      expandedUncertainty: 0.1,
      lower: 3,
      upper: 6,
      outcome: 'fail',
      required: true,
      origin: 'model',
    });
    expect(Object.keys(checkJson(numbered)).slice(-3)).toEqual(['outcome', 'required', 'origin']);
  });
  it('in words has no numbers', () => {
    expect(checkJson(checkOf(KIND, { sentence: 'Told.', outcome: 'pass' }))).toEqual({
      id: 'inrush',
      sentence: 'Told.',
      outcome: 'pass',
      required: true,
      origin: 'generic',
    });
  });
});

describe('a judgement', () => {
  const finding = { id: 'motor-open', likelihood: 0.9, sentence: 'Open.', nextProbe: 'Look.' };
  const json = judgementJson({
    verdict: 'fail',
    sentence: 'It fails.',
    checks: [numbered],
    findings: [finding, { ...finding, id: 'b', inseparable: ['c'], proof: ['Seen.'] }],
    measured: measuredOf([[FORWARD, { inrushPeakA: [7, 0.1] }]]),
  });

  it('has verdict, checks, findings, readings and sentence, in this order', () => {
    expect(Object.keys(json)).toEqual(['verdict', 'checks', 'findings', 'measured', 'sentence']);
    expect(json).toMatchObject({ verdict: 'fail', sentence: 'It fails.', checks: [checkJson(numbered)] });
  });
  it('has of a finding only what there is', () => {
    expect(json.findings).toEqual([finding, { ...finding, id: 'b', inseparable: ['c'], proof: ['Seen.'] }]);
    expect(Object.keys(json.findings[0] ?? {})).toEqual(['id', 'likelihood', 'sentence', 'nextProbe']);
  });
  it('has of a reading value, unit and uncertainty', () => {
    expect(json.measured).toEqual({ forwardInrushPeakA: { value: 7, unit: 'A', expandedUncertainty: 0.1 } });
  });
});
