// Nothing is said against a unit while the rig itself may have done it: one in twenty is enough to look there first.

import { describe, expect, it } from 'vitest';
import { checkOf } from '../../host/judge/check.js';
import { forRig } from '../../host/judge/rig-in-question.js';
import type { Check, Finding } from '../../host/judge/verdict.js';

type Cause = NonNullable<Finding['causes']>[number];
const cause = (id: string, likelihood: number, owner: Cause['owner'] = 'rig'): Cause => ({
  ...{ id, owner, likelihood },
  sentence: `The ${id} is open.`,
  nextProbe: `Bridge the ${id}.`,
});
const finding = (...causes: Cause[]): Finding => ({
  ...{ id: 'any', likelihood: 0.5, sentence: 'Any.', nextProbe: 'Look.' },
  ...(causes.length > 0 ? { causes } : {}),
});
const check = (id: string, outcome: Check['outcome'], required = true): Check =>
  checkOf({ id, of: 'unit', rank: 1 }, { sentence: `${id}.`, outcome, required });
const CHECKS = [check('bad', 'fail'), check('good', 'pass'), check('extra', 'fail', false)];
const told = (...findings: Finding[]) =>
  forRig(CHECKS, findings).map(({ id, outcome }) => `${id} ${outcome}`);

describe('what a unit failed for', () => {
  const STANDS = ['bad fail', 'good pass', 'extra fail'];
  const TAKEN_BACK = ['rig-in-question not-tested', 'bad not-tested', 'good pass', 'extra fail'];

  it('stands where the rig has nothing to do with it', () => {
    expect(told()).toEqual(STANDS);
    expect(told(finding())).toEqual(STANDS);
    expect(told(finding(cause('wire', 0.9, 'harness'), cause('motor', 0.1, 'motor')))).toEqual(STANDS);
  });

  it('is taken back from a share of one in twenty on, of all findings together', () => {
    expect(told(finding(cause('clip', 0.049)))).toEqual(STANDS);
    expect(told(finding(cause('clip', 0.05)))).toEqual(TAKEN_BACK);
    expect(
      told(finding(cause('clip', 0.03)), finding(cause('wire', 0.9, 'harness'), cause('link', 0.03))),
    ).toEqual(TAKEN_BACK);
  });

  it('gives way to the likeliest of the rig’s own causes, and what rules it out', () => {
    for (const causes of [
      [cause('clip', 0.1), cause('link', 0.3)],
      [cause('link', 0.3), cause('clip', 0.1)],
    ]) {
      const [first] = forRig(CHECKS, [finding(...causes)]);
      expect(first?.sentence).toBe(
        'This may be the rig, not the unit: the link is open. Rule that out first: bridge the link.',
      );
      expect(first?.of).toBe('rig');
    }
  });

  it('is not changed in the list that came in', () => {
    forRig(CHECKS, [finding(cause('clip', 0.5))]);
    expect(CHECKS[0]?.outcome).toBe('fail');
  });
});
