// What every check asks its context: readings, limits moved with the supply, and why a throw gave no number.

import { describe, expect, it } from 'vitest';
import {
  expectedLimits,
  expectedOf,
  modelOrigin,
  seenOf,
  segmentOf as segmentIn,
  whyMissing,
} from '../../../host/judge/checks/context.js';
import { gatherChecks } from '../../../host/judge/checks/index.js';
import { runStretch } from '../../../host/measure/index.js';
import {
  contextOf,
  FORWARD,
  type GoodAt,
  type Handmade,
  NOMINAL_SUPPLY_V,
  proportional,
  REVERSE,
  segmentOf,
  shipped,
  shippedPlan,
  WHOLE,
} from '../handmade.js';

describe('a context', () => {
  const context = contextOf({
    read: [
      [FORWARD, { runningCurrentA: 4, supplyVoltageV: 15 }],
      [WHOLE, { runningAsymmetryPercent: 3 }],
    ],
    good: [
      [
        FORWARD,
        { runningCurrentA: { nominal: 4, lower: 3, upper: 6, curve: proportional(4, NOMINAL_SUPPLY_V) } },
      ],
    ],
    segments: [segmentOf(REVERSE), segmentOf(FORWARD)],
  });

  it('tells what was read of a stretch, or of the run', () => {
    expect(seenOf(context, 'runningCurrentA', FORWARD)?.value).toBe(4);
    expect(seenOf(context, 'runningAsymmetryPercent')?.value).toBe(3);
    expect(seenOf(context, 'runningCurrentA', REVERSE)).toBeUndefined();
  });
  it('tells what is expected of it', () => {
    expect(expectedOf(context, 'runningCurrentA', FORWARD)?.nominal).toBe(4);
    expect(expectedOf(context, 'runningCurrentA', REVERSE)).toBeUndefined();
    const limits = expectedLimits(context, 'runningCurrentA', FORWARD);
    expect([limits?.lower, limits?.nominal, limits?.upper]).toEqual([3.75, 5, 7.5]);
    expect(expectedLimits(context, 'runningCurrentA', REVERSE)).toBeUndefined();
  });
  it('finds a stretch by what it is', () => {
    expect(segmentIn(context, FORWARD)).toBe(context.seen.segments[1]);
    expect(segmentIn(context, runStretch('full', 'forward', { nth: 2 }))).toBeUndefined();
  });
  it('trusts a limit of the model as far as the motor’s numbers', () => {
    const unit = shipped('entry-step-relays');
    expect(modelOrigin(contextOf({ unit: { ...unit, motor: { ...unit.motor, origin: 'learned' } } }))).toBe(
      'learned',
    );
  });
});

describe('why a throw gave no number', () => {
  const brief = segmentOf(FORWARD, { brief: true, lost: { leadAVoltageV: 0.1 } });
  it.each<[string, Handmade]>([
    ['not tested, this throw was not made', { segments: [segmentOf(REVERSE)], supplyHolds: false }],
    ['not tested, the supply did not hold', { segments: [brief], supplyHolds: false }],
    ['not tested, the throw was cut short', { segments: [brief] }],
    ['not tested, samples were lost', { segments: [segmentOf(FORWARD, { lost: { leadAVoltageV: 0.1 } })] }],
    ['not measured', { segments: [segmentOf(FORWARD)] }],
  ])('%s', (why, made) => expect(whyMissing(contextOf(made), FORWARD)).toBe(why));
});

describe('what is asked of a run', () => {
  const good: GoodAt[] = [FORWARD, REVERSE].map(
    (of, i): GoodAt => [
      of,
      {
        motorVoltageV: i === 0 ? 11 : -11,
        inrushPeakA: 16,
        runningCurrentA: 4,
        heldRotorCurrentA: 16,
        settleS: 0.1,
        feedResistanceOhm: 0.02,
        groundResistanceOhm: 0.01,
      },
    ],
  );
  const throws = [FORWARD, REVERSE].map((of) => ({ of, release: 'coast' as const }));
  const segments = [segmentOf(FORWARD, { toS: 1 }), segmentOf(REVERSE, { fromS: 2, toS: 3 })];
  const ids = (made: Handmade) =>
    gatherChecks(contextOf({ good, throws, segments, ...made })).map(({ id }) => id);

  it('is told in this order', () => {
    expect(ids({})).toEqual([
      'supply-adequate',
      'over-current-stop',
      'plan-complete',
      'samples-complete',
      'rest-current',
      'polarity-forward',
      'return-lead-forward',
      'feed-drop-forward',
      'ground-drop-forward',
      'polarity-reverse',
      'return-lead-reverse',
      'feed-drop-reverse',
      'ground-drop-reverse',
      'inrush-forward',
      'running-forward',
      'settling-forward',
      'inrush-reverse',
      'running-reverse',
      'settling-reverse',
      'release-forward',
      'release-reverse',
      'envelope-forward',
      'envelope-reverse',
    ]);
  });

  it('has its sentence told first where it says most: the run, rest, lead states, drops, release, currents', () => {
    const ranked = gatherChecks(contextOf({ good, throws, segments })).sort(
      (a, b) => a.kind.rank - b.kind.rank,
    );
    expect(ranked.flatMap(({ id }) => (id.endsWith('-reverse') ? [] : [id]))).toEqual([
      'supply-adequate',
      'plan-complete',
      'samples-complete',
      'over-current-stop',
      'rest-current',
      'polarity-forward',
      'return-lead-forward',
      'ground-drop-forward',
      'feed-drop-forward',
      'release-forward',
      'running-forward',
      'inrush-forward',
      'settling-forward',
      'envelope-forward',
    ]);
  });

  it('takes no throw into a turning shaft for a start', () => {
    const reversed = [segmentOf(FORWARD, { toS: 1 }), segmentOf(REVERSE, { fromS: 1, toS: 3 })];
    const asked = ids({ segments: reversed });
    expect(asked).toContain('reversal-reverse');
    expect(asked).toContain('inrush-forward');
    expect(asked).not.toContain('inrush-reverse');
  });

  it('asks nothing of turning where the plan holds the rotor', () => {
    const asked = ids({ unit: { ...shipped('entry-step-relays'), plan: shippedPlan('hold-the-rotor') } });
    expect(asked).toContain('held-current-forward');
    expect(asked).not.toContain('running-forward');
    expect(asked).not.toContain('envelope-forward');
  });
});
