// The sentence that a person reads first: cause, what to touch, what proves it; of a pass what the motor does.

import { describe, expect, it } from 'vitest';
import { checkOf } from '../../host/judge/check.js';
import { headlineOf } from '../../host/judge/headline.js';
import type { Check, CheckKind, Finding, Outcome } from '../../host/judge/verdict.js';
import { type Measured, quantityOf, runStretch } from '../../host/measure/index.js';

const check = (outcome: Outcome, more: Partial<CheckKind> = {}) =>
  checkOf({ id: 'any', of: 'harness', rank: 5, ...more }, { outcome, sentence: 'Lead B stands at 2.1 V.' });
const cause = (id: string, sentence: string) => ({
  ...{ id, sentence, owner: 'harness' as const, likelihood: 0.4 },
  nextProbe: 'Look.',
});
const COIL: Finding = {
  ...{ id: 'coil', likelihood: 0.8, sentence: 'Any.' },
  nextProbe: 'Measure 85 of K2 to ground.',
  causes: [cause('coil', 'The coil of K2 is open.'), cause('wire', 'The wire to 86 of K2 is open.')],
  proof: ['Coil current, reverse: 1 mA, a good unit 160 mA.', 'Another.'],
};
const told = (findings: Finding[], checks = [check('fail')], measured: Measured = {}) =>
  headlineOf('fail', checks, { findings, measured });

describe('the headline of a unit that does not pass', () => {
  it('is its causes, the next probe and the reading that proves it', () => {
    expect(told([COIL])).toBe(
      'The coil of K2 is open; or the wire to 86 of K2 is open. Next probe: Measure 85 of K2 to ground. Shown by coil current, reverse: 1 mA, a good unit 160 mA.',
    );
  });
  it('names two of many, and says how many more', () => {
    const causes = ['One.', 'Two.', 'Three.', 'Four.'].map((sentence, i) => cause(`${i}`, sentence));
    expect(told([{ ...COIL, causes, proof: [] }])).toBe(
      'One; or two; or 2 more. Next probe: Measure 85 of K2 to ground.',
    );
  });
  it('is the reading furthest out where no cause is likely, or nothing is wrong', () => {
    expect(told([])).toBe('Lead B stands at 2.1 V.');
    expect(told([{ ...COIL, likelihood: 0.49 }])).toBe('Lead B stands at 2.1 V.');
    expect(told([{ ...COIL, id: 'healthy' }])).toBe('Lead B stands at 2.1 V.');
    const { causes: _, ...unlisted } = COIL;
    expect(told([unlisted])).toBe('Lead B stands at 2.1 V.');
  });
  it('is what to rule out first where the bench is in question', () => {
    const rig = check('not-tested', { rank: -10 });
    expect(headlineOf('cannot-tell', [rig], { findings: [COIL], measured: {} })).toBe(
      'Lead B stands at 2.1 V.',
    );
  });
  it('says of a run that was not tested whole that nothing points to a fault, before what was not', () => {
    const untested = check('not-tested');
    const nothing: Finding = { ...COIL, id: 'healthy' };
    const said = (checks: Check[], finding = nothing) =>
      headlineOf('cannot-tell', checks, { findings: [finding], measured: {} });
    expect(said([check('pass'), untested])).toMatch(/^As far as it was tested, nothing points to a fault\. /);
    // Not where a reading is out, where something stands in doubt, or where it is no more likely than not.
    expect(said([check('conditional-fail'), untested])).not.toMatch(/nothing points/);
    expect(said([check('not-tested', { rank: -10 })])).not.toMatch(/nothing points/);
    expect(said([untested], { ...nothing, likelihood: 0.49 })).not.toMatch(/nothing points/);
    expect(said([untested], COIL)).not.toMatch(/nothing points/);
  });
  it('says beside the cause what kept the feed off', () => {
    expect(told([COIL], [check('fail', { keepsFeedOff: true })])).toMatch(
      /160 mA\. Lead B stands at 2\.1 V\.$/,
    );
  });
});

describe('the headline of a pass', () => {
  it('begins with what the motor draws each way', () => {
    const [forward, reverse] = (['forward', 'reverse'] as const).map((way) =>
      runStretch('full', way, { nth: 1 }),
    );
    const read = (what: 'runningCurrentA' | 'inrushPeakA', of: typeof forward, value: number) => ({
      ...quantityOf(value, 'A', []),
      what,
      of: of!,
    });
    const measured: Measured = {
      a: read('runningCurrentA', forward, 3.5),
      b: read('runningCurrentA', reverse, 8),
      c: read('inrushPeakA', forward, 15),
      d: read('inrushPeakA', reverse, 15.2),
    };
    const text = headlineOf('pass', [check('pass')], { findings: [], measured });
    expect(text).toMatch(
      /^Runs at 3\.5 A forward and 8\.0 A reverse; starts with 15\.0 A forward and 15\.2 A reverse\. All 1 /,
    );
    expect(headlineOf('pass', [check('pass')], { findings: [], measured: {} })).toMatch(/^All 1 /);
  });
});
