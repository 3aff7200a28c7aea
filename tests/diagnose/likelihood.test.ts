// How well one pattern explains a run, worked by hand from what the file says: Student's density with four degrees of
// freedom for numbers, counted as 0.75; -4 for a reading that only one side has; -18 for another over-current stop; 2 % and
// 15 % for another release and one that only one side shows. All of them choices of the program.

import { describe, expect, it } from 'vitest';
import type { Hypothesis } from '../../host/diagnose/hypotheses.js';
import {
  backgroundLogLikelihood,
  comparable,
  endsLimited,
  leastOf,
  logLikelihood,
  type Spread,
  supplyScale,
} from '../../host/diagnose/likelihood.js';
import { LEAD_IN, REST, type RunStretch, runStretch } from '../../host/measure/index.js';
import {
  FORWARD,
  LIMITED_FORWARD,
  LIMITED_REVERSE,
  measuredOf,
  REVERSE,
  type Reads,
  segmentOf,
  WHOLE,
} from '../judge/handmade.js';
import { evidenceOf, hypothesis, numbered, patternOf, SHARED, type Shown, student } from './handmade.js';

interface Given {
  supplyRatio?: number;
  more?: Partial<Hypothesis>;
  spread?: Spread;
}
const scored = (seen: Shown, own: Shown, { supplyRatio = 1, more = {}, spread = {} }: Given = {}): number =>
  logLikelihood(evidenceOf(seen, supplyRatio), hypothesis('it', more), patternOf(own), spread);
const at = (of: RunStretch | undefined, reads: Reads, more: Omit<Shown, 'read'> = {}): Shown => ({
  read: [[of, reads]],
  ...more,
});
const forward = (reads: Reads, more: Omit<Shown, 'read'> = {}): Shown => at(FORWARD, reads, more);
const reading = (of: RunStretch | undefined, reads: Reads) => Object.values(measuredOf([[of, reads]]))[0]!;

describe('a number', () => {
  // A lead in a throw: 0.12 V, 1 % of what is foretold.
  it('counts by how far off it is, in what rig and model leave open', () => {
    const deviation = Math.hypot(0.12, 0.01 * 12);
    expect(scored(forward({ leadAVoltageV: 12.5 }), forward({ leadAVoltageV: 12 }))).toBeCloseTo(
      numbered(0.5, deviation, 0.12),
      12,
    );
    expect(scored(forward({ leadAVoltageV: 11.5 }), forward({ leadAVoltageV: 12 }))).toBeCloseTo(
      numbered(-0.5, deviation, 0.12),
      12,
    );
  });

  it('that was read less well, or that spreads among good units, is held less strictly', () => {
    const own = forward({ leadAVoltageV: 12 });
    const uncertain = Math.hypot(0.12, 0.12, 0.4);
    expect(scored(forward({ leadAVoltageV: [13, 0.8] }), own)).toBeCloseTo(numbered(1, uncertain, 0.12), 12);
    const spreading = Math.hypot(0.12, 0.12, 0.05 * 12);
    const spread = { forwardLeadAVoltageV: 0.05, forwardLeadBVoltageV: 9 };
    expect(scored(forward({ leadAVoltageV: 13 }), own, { spread })).toBeCloseTo(
      numbered(1, spreading, 0.12),
      12,
    );
  });

  it('that was cut off speaks against what foretells less, and not against more', () => {
    // Running current: 0.1 A and 6 % of what is foretold; 9 A or more, good to 0.1 A.
    const seen = evidenceOf(forward({ leadAVoltageV: 12 }), 1);
    const bounds = measuredOf([[FORWARD, { motorCurrentA: [9, 0.2] }]]);
    const score = (currentA: number) =>
      logLikelihood(
        { ...seen, bounds },
        hypothesis('it'),
        patternOf(forward({ leadAVoltageV: 12, motorCurrentA: currentA })),
        {},
      );
    const lead = numbered(0, Math.hypot(0.12, 0.12), 0.12);
    expect(score(80)).toBeCloseTo(lead, 12);
    expect(score(9)).toBeCloseTo(lead, 12);
    const deviation = Math.hypot(0.1, 0.06 * 4, 0.1);
    expect(score(4)).toBeCloseTo(lead + SHARED * student(5 / deviation), 12);
  });

  it('is foretold for the supply of this run', () => {
    const value = 12 * 1.1;
    expect(
      scored(forward({ leadAVoltageV: value }), forward({ leadAVoltageV: 12 }), { supplyRatio: 1.1 }),
    ).toBeCloseTo(numbered(0, Math.hypot(0.12, 0.01 * value), 0.12), 12);
  });

  it('adds up with the others', () => {
    const seen: Shown = { read: [[FORWARD, { leadAVoltageV: 12, leadBVoltageV: 1 }]] };
    const own: Shown = { read: [[FORWARD, { leadAVoltageV: 12, leadBVoltageV: 0 }]] };
    expect(scored(seen, own)).toBeCloseTo(
      numbered(0, Math.hypot(0.12, 0.12), 0.12) + numbered(1, 0.12, 0.12),
      12,
    );
  });

  it('has no say where nothing is left open for it: by what it is, or by where', () => {
    expect(scored(forward({ motorVoltageV: 12 }), forward({ motorVoltageV: 3 }))).toBe(0);
    expect(scored(forward({ motorVoltageV: 12 }), {})).toBe(0);
    const limitedRest = runStretch('limited', 'rest');
    expect(scored(at(limitedRest, { motorCurrentA: 1 }), at(limitedRest, { motorCurrentA: 9 }))).toBe(0);
    expect(scored(at(LEAD_IN, { leadAVoltageV: 1 }), at(LEAD_IN, { leadAVoltageV: 9 }))).toBe(0);
  });

  it('of the rest is weighed as one of the rest, of the whole run as one of it', () => {
    expect(scored(at(REST, { leadAVoltageV: 1 }), at(REST, { leadAVoltageV: 0 }))).toBeCloseTo(
      numbered(1, 0.4, 0.4),
      12,
    );
    expect(leastOf(reading(REST, { leadAVoltageV: 1 }))).toEqual({ floor: 0.4, part: 0.02 });
    expect(leastOf(reading(WHOLE, { operateS: 1 }))).toEqual({ floor: 0.0006, part: 0.15 });
    expect(leastOf(reading(LIMITED_FORWARD, { leadAVoltageV: 1 }))).toEqual({ floor: 0.05, part: 0.02 });
    expect(leastOf(reading(LEAD_IN, { leadAVoltageV: 1 }))).toBeUndefined();
  });
});

describe('a reading that one side alone has', () => {
  const one = forward({ leadAVoltageV: 12 });
  it('speaks against the cause, whichever has it', () => {
    expect(scored(one, {})).toBeCloseTo(SHARED * -4, 12);
    expect(scored({}, one)).toBeCloseTo(SHARED * -4, 12);
  });

  it('says nothing where the run lost samples', () => {
    const segments = [segmentOf(FORWARD, { lost: { leadAVoltageV: 0.1 } })];
    expect(scored({ segments }, one)).toBe(0);
  });

  it('at rest or of the whole run says something only where a rest was seen whole', () => {
    const resting = (reads: Reads, segments: Shown['segments'] = [segmentOf(REST)]): Shown =>
      at(REST, reads, { segments });
    expect(scored(resting({ leadAVoltageV: 0 }), { segments: [] })).toBeCloseTo(SHARED * -4, 12);
    expect(scored(resting({ leadAVoltageV: 0 }, []), { segments: [] })).toBe(0);
    const lost = [segmentOf(REST, { lost: { leadBVoltageV: 0.1 } })];
    expect(scored(resting({ leadAVoltageV: 0 }, lost), { segments: [] })).toBe(0);
    const whole = at(WHOLE, { operateS: 0.01 }, { segments: [segmentOf(REST)] });
    expect(scored(whole, { segments: [] })).toBeCloseTo(SHARED * -4, 12);
    expect(scored({ ...whole, segments: [segmentOf(FORWARD)] }, { segments: [] })).toBe(0);
  });
});

describe('a throw', () => {
  const lead: Reads = { leadAVoltageV: 12 };
  it('that only one of them made says nothing by its readings', () => {
    expect(scored(forward(lead, { segments: [] }), forward(lead))).toBe(0);
    expect(scored(forward(lead), forward(lead, { segments: [] }))).toBe(0);
  });

  it('that should never have come about speaks against the cause, each reading as one far off', () => {
    const tripped: Shown = { segments: [segmentOf(REST)], tripsIn: 'rest' };
    const made = forward({ leadAVoltageV: 12, leadBVoltageV: 0 });
    expect(scored(made, tripped)).toBeCloseTo(-18 + 2 * SHARED * student(3.2), 12);
    // Both read it, or both stopped: nothing of the kind.
    expect(scored(made, { ...made, ...tripped })).toBe(-18);
    expect(scored({ ...made, tripsIn: 'rest' }, tripped)).toBe(0);
    expect(scored({ segments: [segmentOf(FORWARD)] }, { ...made, ...tripped })).toBe(-18);
  });

  it('cut short in both compares by its leads, in one by nothing', () => {
    const brief = { segments: [segmentOf(FORWARD, { brief: true })] };
    const reads: Reads = { leadAVoltageV: 12, leadBVoltageV: 0, motorCurrentA: 5 };
    const off: Reads = { leadAVoltageV: 11, leadBVoltageV: 1, motorCurrentA: 9 };
    expect(scored(forward(off, brief), forward(reads, brief))).toBeCloseTo(
      numbered(-1, Math.hypot(0.12, 0.12), 0.12) + numbered(1, 0.12, 0.12),
      12,
    );
    expect(scored(forward(off, brief), forward(reads))).toBe(0);
    expect(scored(forward(off), forward(reads, brief))).toBe(0);
  });

  it('is held against the same throw', () => {
    const both = [segmentOf(REVERSE), segmentOf(FORWARD)];
    expect(comparable(reading(FORWARD, lead), both, both)).toBe(true);
    expect(comparable(reading(FORWARD, lead), both, [segmentOf(REVERSE)])).toBe(false);
    expect(comparable(reading(FORWARD, lead), [segmentOf(REVERSE)], both)).toBe(false);
    expect(comparable(reading(REST, lead), [], [])).toBe(true);
    expect(comparable(reading(WHOLE, { operateS: 1 }), [], [])).toBe(true);
  });
});

describe('the over-current stop', () => {
  it('elsewhere than foretold speaks against the cause', () => {
    expect(scored({ tripsIn: 'forward' }, { tripsIn: 'forward' })).toBe(0);
    expect(scored({ tripsIn: 'forward' }, { tripsIn: 'reverse' })).toBe(-18);
    expect(scored({}, { tripsIn: 'reverse' })).toBe(-18);
    expect(scored({ tripsIn: 'forward' }, {})).toBe(-18);
  });

  it('says nothing of a run that never came to the full feed', () => {
    const limited = { segments: [segmentOf(LIMITED_FORWARD), segmentOf(LIMITED_REVERSE)] };
    expect(scored(limited, { tripsIn: 'forward' })).toBe(0);
    expect(endsLimited(limited.segments)).toBe(true);
    expect(endsLimited([...limited.segments, segmentOf(FORWARD)])).toBe(false);
    expect(endsLimited([])).toBe(false);
  });
});

describe('a release', () => {
  const released = (release?: 'coast' | 'brake-ground', brief = false): Shown => ({
    segments: [segmentOf(FORWARD, { brief, ...(release === undefined ? {} : { release }) })],
  });
  it('as foretold says nothing, another one little for the cause, one unseen less against it', () => {
    expect(scored(released('coast'), released('coast'))).toBe(0);
    expect(scored(released('coast'), released('brake-ground'))).toBeCloseTo(Math.log(0.02), 12);
    expect(scored(released('coast'), released())).toBeCloseTo(Math.log(0.15), 12);
    expect(scored(released(), released('coast'))).toBeCloseTo(Math.log(0.15), 12);
  });
  it('of a throw cut short, or that the cause does not make, says nothing', () => {
    expect(scored(released('coast', true), released('brake-ground'))).toBe(0);
    expect(scored(released('coast'), released('brake-ground', true))).toBe(0);
    expect(scored(released('coast'), { segments: [segmentOf(REVERSE)] })).toBe(0);
  });

  it('that lies behind the end of the capture has no say', () => {
    const own: Shown = { segments: [segmentOf(FORWARD, { release: 'brake-ground' }), segmentOf(REST)] };
    expect(scored(released(), own)).toBe(0);
    expect(scored({ segments: [segmentOf(FORWARD), segmentOf(REST)] }, own)).toBeCloseTo(Math.log(0.15), 12);
  });
  it('is one of throws', () => {
    const resting = { segments: [segmentOf(REST, { release: 'coast' })] };
    expect(scored(resting, { segments: [segmentOf(REST, { release: 'brake-ground' })] })).toBe(0);
  });
});

describe('dropouts', () => {
  const more = { dropouts: { motor: 0.3, harness: 0.8 } };
  const dropping = (reads: Reads): number => scored(forward(reads), {}, { more });
  it('have the chance that the cause gives them, on either side', () => {
    expect(dropping({ dropoutsMotorSide: 2 })).toBeCloseTo(Math.log(0.3), 12);
    expect(dropping({ dropoutsHarnessSide: 1 })).toBeCloseTo(Math.log(0.8), 12);
    expect(dropping({ dropoutsMotorSide: 0 })).toBeCloseTo(Math.log(0.7), 12);
    expect(dropping({ dropoutsHarnessSide: 0 })).toBeCloseTo(Math.log(0.2), 12);
    expect(dropping({ dropoutsMotorSide: 1, dropoutsHarnessSide: 0 })).toBeCloseTo(Math.log(0.3 * 0.2), 12);
  });
  it('that nobody looked for say nothing', () => expect(dropping({})).toBe(0));
  it('of another throw say nothing', () => {
    expect(scored(at(REVERSE, { dropoutsMotorSide: 1 }), {}, { more })).toBe(0);
  });
});

describe('the supply', () => {
  it('moves a reading by its own law', () => {
    expect(supplyScale(reading(FORWARD, { leadAVoltageV: 1 }), 1.2)).toBeCloseTo(1.2, 12);
    expect(supplyScale(reading(FORWARD, { motorCurrentA: 1 }), 1.44)).toBeCloseTo(1.2, 12);
    expect(supplyScale(reading(FORWARD, { stopsAfterS: 1 }), 1.2)).toBeCloseTo(1.2 ** -1.2, 12);
    expect(supplyScale(reading(FORWARD, { settleS: 1 }), 1.2)).toBe(1);
    expect(supplyScale(reading(FORWARD, { feedResistanceOhm: 1 }), 1.2)).toBe(1);
    expect(supplyScale(reading(FORWARD, { dropouts: 1 }), 1.2)).toBe(1);
  });
  it('moves all of them alike through the limited feed', () => {
    expect(supplyScale(reading(LIMITED_FORWARD, { motorCurrentA: 1 }), 1.2)).toBe(1.2);
    expect(supplyScale(reading(WHOLE, { operateS: 1 }), 1.2)).toBe(1);
  });
});

describe('nothing on the list', () => {
  it('has every reading that has a say somewhat off, and 0.3 before that', () => {
    const seen: Shown = {
      read: [
        [FORWARD, { leadAVoltageV: 1, motorVoltageV: 3 }],
        [REST, { leadAVoltageV: 1 }],
      ],
    };
    expect(backgroundLogLikelihood(evidenceOf(seen))).toBeCloseTo(
      Math.log(0.3) + 2 * SHARED * student(3.2),
      12,
    );
  });
});
