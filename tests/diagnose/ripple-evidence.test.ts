// What the ripples of a turn say of a cause: uneven in 0.2 % of turns without a bad segment.

import { describe, expect, it } from 'vitest';
import { wrongRipples } from '../../host/diagnose/index.js';
import { rippleProof, rippleTerm } from '../../host/diagnose/ripple-evidence.js';
import { FORWARD, measuredOf, REVERSE, type ReadAt } from '../judge/handmade.js';

const even = { ripplesMissingPerTurn: 0, ripplesDeepPerTurn: 0 };
const term = (read: readonly ReadAt[], chance?: number): number => rippleTerm(measuredOf(read), chance);

describe('the ripples of a turn', () => {
  it('say nothing where they are not told', () => {
    expect(term([], 0.9)).toBe(0);
    expect(term([[FORWARD, { ripplesDeepPerTurn: 3 }]], 0.9)).toBe(0);
    expect(term([[undefined, { ripplesMissingPerTurn: 3 }]], 0.9)).toBe(0);
  });
  it('that are uneven have the chance that the cause gives them, even ones the rest', () => {
    expect(term([[FORWARD, even]], 0.9)).toBeCloseTo(Math.log(0.1), 12);
    expect(term([[FORWARD, { ...even, ripplesMissingPerTurn: 1 }]], 0.9)).toBeCloseTo(Math.log(0.9), 12);
    expect(term([[FORWARD, { ...even, ripplesDeepPerTurn: 1 }]], 0.9)).toBeCloseTo(Math.log(0.9), 12);
  });
  it('are seldom uneven without a cause for it', () => {
    expect(term([[FORWARD, even]])).toBeCloseTo(Math.log(0.998), 12);
    expect(term([[FORWARD, { ...even, ripplesDeepPerTurn: 1 }]])).toBeCloseTo(Math.log(0.002), 12);
  });
  it('count once: what one throw shows the other shows again', () => {
    const read: ReadAt[] = [
      [FORWARD, even],
      [REVERSE, { ...even, ripplesDeepPerTurn: 1 }],
    ];
    expect(term(read, 0.7)).toBeCloseTo(Math.log(0.7), 12);
  });
  it('are uneven too where the current swings once a turn by more than twice a ripple', () => {
    const swinging = (shaftRateAmplitudeA: number): ReadAt => [
      FORWARD,
      { ...even, rippleAmplitudeA: 0.1, shaftRateAmplitudeA },
    ];
    expect(term([swinging(0.2)], 0.9)).toBeCloseTo(Math.log(0.1), 12);
    expect(term([swinging(0.21)], 0.9)).toBeCloseTo(Math.log(0.9), 12);
    expect(rippleProof(measuredOf([swinging(0.21)]))).toBe(
      'Ripples of a turn, forward: a swing at every turn larger than they are, a good unit none.',
    );
  });
  it('prove by the first throw that shows them uneven', () => {
    const read: ReadAt[] = [
      [FORWARD, even],
      [REVERSE, { ripplesMissingPerTurn: 2, ripplesDeepPerTurn: 0 }],
    ];
    expect(rippleProof(measuredOf(read))).toBe('Ripples of a turn, reverse: 2 missing, a good unit none.');
    expect(rippleProof(measuredOf([[FORWARD, even]]))).toBeUndefined();
  });
  it('are told as missing, too deep, or both', () => {
    expect([wrongRipples(1, 0), wrongRipples(0, 2), wrongRipples(1, 2), wrongRipples(0, 0)]).toEqual([
      '1 missing',
      '2 too deep',
      '1 missing, 2 too deep',
      '',
    ]);
  });
});
