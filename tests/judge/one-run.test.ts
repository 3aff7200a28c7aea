// One run judged: what is measured, asked and diagnosed of it, in which order and with what. Readings, fits and causes are
// made by hand; how each of them comes about has tests of its own.

import { afterAll, beforeEach, describe, expect, it, vi } from 'vitest';
import * as diagnosing from '../../host/diagnose/index.js';
import { checkOf } from '../../host/judge/check.js';
import * as parameters from '../../host/judge/checks/motor-parameters.js';
import type { RelayExpectation, UnitExpectation } from '../../host/judge/expectation.js';
import { boundOf, causeLibrary, type JudgeRequest, judge } from '../../host/judge/judge.js';
import * as relay from '../../host/judge/relay/index.js';
import type { Check, Finding } from '../../host/judge/verdict.js';
import * as measuring from '../../host/measure/index.js';
import type { ResolvedUnit } from '../../host/profile/index.js';
import {
  captureOf,
  contextOf,
  FORWARD,
  type GoodAt,
  type Handmade,
  REVERSE,
  type ReadAt,
  segmentOf,
  shipped,
  shippedPlan,
} from './handmade.js';

// Put in place while these tests run, and taken away behind them: files share their modules.
const STAND_INS = [
  vi.spyOn(measuring, 'measure'),
  vi.spyOn(diagnosing, 'diagnose'),
  vi.spyOn(diagnosing, 'diagnosisLibrary'),
  vi.spyOn(parameters, 'motorParameterCheck'),
  vi.spyOn(relay, 'relayCase'),
  vi.spyOn(relay.RelayLibraryWork.prototype, 'finish'),
];
afterAll(() => {
  for (const one of STAND_INS) one.mockRestore();
});

const measured = vi.mocked(measuring.measure);
const diagnosed = vi.mocked(diagnosing.diagnose);
const libraries = vi.mocked(diagnosing.diagnosisLibrary);
const fitted = vi.mocked(parameters.motorParameterCheck);
const ofRelay = vi.mocked(relay.RelayLibraryWork.prototype.finish);

const PAIR = shipped('entry-step-relays');
const FOUND: Finding[] = [{ id: 'motor-open', likelihood: 0.9, sentence: 'Open.', nextProbe: 'Look.' }];
const library = (): diagnosing.DiagnosisLibrary => ({
  ...{ kind: 'unit', profileId: 'any', unit: ALONE, supplyV: 13, entries: [], notes: [] },
});
/** Nothing wrong: a run that rests at nothing, on a supply that holds, with every throw made. */
const FINE: ReadAt[] = [
  [measuring.REST, { motorCurrentA: 0, supplyVoltageV: 12.5 }],
  [FORWARD, { runningCurrentA: 4 }],
];
const GOOD: GoodAt[] = [
  [FORWARD, { motorVoltageV: 11, runningCurrentA: { nominal: 4, lower: 3, upper: 6 } }],
];
/** Its running current is too high. */
const BAD: ReadAt[] = [FINE[0]!, [FORWARD, { runningCurrentA: 9 }]];
/** A part alone is not asked for its course. */
const ALONE: ResolvedUnit = shipped('entry-step-alone');

function requestOf(
  read: readonly ReadAt[],
  made: Handmade = {},
  more: Partial<JudgeRequest> = {},
): JudgeRequest {
  const { unit, expectation, seen, capture } = contextOf({
    unit: ALONE,
    throws: [FORWARD],
    good: GOOD,
    read,
    ...made,
  });
  // Polarity is not read here: nothing is known of it.
  const { forwardMotorVoltageV: _, ...features } = expectation.features;
  measured.mockReturnValue(seen);
  return { unit, capture, expectation: { ...expectation, features }, ...more };
}

beforeEach(() => {
  for (const one of STAND_INS) one.mockReset();
  ofRelay.mockImplementation(() => ({ ...library(), kind: 'relay', entries: [] }));
  fitted.mockReturnValue([]);
  diagnosed.mockReturnValue(FOUND);
  libraries.mockImplementation(library);
});

describe('a run that passes', () => {
  it('is told with its checks and readings, and nothing is looked for', () => {
    const request = requestOf(FINE);
    const { verdict, sentence, checks, findings, measured: readings } = judge(request);
    expect(checks.filter(({ outcome }) => outcome !== 'pass')).toEqual([]);
    expect(verdict).toBe('pass');
    expect(sentence).toBe(
      `Runs at 4.0 A forward. All ${checks.length} checks are within limits. Closest to a limit: forward: runs at 4.00 ± 0.00 A (expected 3.00 to 6.00 A).`,
    );
    expect(findings).toEqual([]);
    expect(readings).toBe(measured.mock.results[0]?.value.measured);
    expect(libraries).not.toHaveBeenCalled();
  });

  it('closely passes as the profile says', () => {
    const close: ReadAt[] = [FINE[0]!, [FORWARD, { runningCurrentA: [5.95, 0.1] }]];
    expect(judge(requestOf(close)).verdict).toBe('pass');
    const unit = {
      ...ALONE,
      unit: { ...ALONE.unit, rules: { ...ALONE.unit.rules, conditionalPassCounts: false } },
    };
    expect(judge(requestOf(close, { unit })).verdict).toBe('cannot-tell');
  });
});

describe('measuring', () => {
  const options = () => measured.mock.calls[0]?.[1];
  it('is told rig and nominal voltage', () => {
    judge(requestOf(FINE));
    expect(options()).toEqual({ rig: ALONE.rig, nominalVoltageV: 12, expectedRpm: new Map() });
  });
  it('is told the ripples of a turn, and by throw the speed of a good motor', () => {
    const good: GoodAt[] = [
      ...GOOD,
      [REVERSE, { speedRpm: 3100, runningCurrentA: 4 }],
      [undefined, { speedRpm: 5 }],
    ];
    judge(requestOf(FINE, { unit: shipped('window-lift-alone'), good }));
    expect(options()).toMatchObject({ ripplesPerTurn: 8, expectedRpm: new Map([['reverse', 3100]]) });
  });
  it('takes what only the request tells over what the profile says', () => {
    judge(requestOf(FINE, {}, { measuring: { nominalVoltageV: 24, thrownByHand: true } }));
    expect(options()).toMatchObject({ nominalVoltageV: 24, thrownByHand: true, rig: ALONE.rig });
  });
  it('sees of a hold for a protector what the plan holds; the protector’s own check sees the whole', () => {
    const unit: ResolvedUnit = { ...ALONE, plan: shippedPlan('hold-the-rotor') };
    const capture = captureOf([{ position: 'forward', durationS: 50, channels: { motorCurrentA: 15 } }], 20);
    const request = requestOf([[FORWARD, { heldRotorCurrentA: 15 }]], { unit });
    const { checks } = judge({ ...request, capture });
    expect(measured.mock.calls[0]?.[0].timeS.length).toBe(22);
    expect(checks.find(({ id }) => id === 'protector')?.sentence).toContain('held for 50.0 s');
  });
});

describe('what is asked', () => {
  it('is taken for the whole run to be wrong where the supply did not hold', () => {
    const low: ReadAt[] = [
      [measuring.REST, { motorCurrentA: 0, supplyVoltageV: 9 }],
      [FORWARD, { runningCurrentA: 9 }],
    ];
    const { verdict, checks } = judge(requestOf(low));
    expect(verdict).toBe('cannot-tell');
    expect(checks.find(({ id }) => id === 'running-forward')?.sentence).toContain('the supply did not hold');
  });
  it('is by the subject, and takes the hand into account', () => {
    const harness = shipped('relay-pair-harness-load');
    expect(judge(requestOf(FINE, { unit: harness })).checks.map(({ id }) => id)).toContain('motor-not-asked');
  });
  it('knows the stop of the rig', () => {
    const { checks } = judge(requestOf(FINE, {}, { stop: 'over-current' }));
    expect(checks.find(({ id }) => id === 'over-current-stop')?.outcome).toBe('fail');
  });

  const own = (more: Partial<Check>): Check => ({
    ...checkOf({ id: 'motor-parameters', of: 'motor', rank: 170 }, { sentence: 'Its own.', outcome: 'fail' }),
    ...more,
  });
  it('is of the motor’s own parameters last, and only where nothing else failed', () => {
    fitted.mockReturnValue([own({})]);
    expect(judge(requestOf(FINE)).checks.at(-1)?.id).toBe('motor-parameters');
    fitted.mockClear();
    expect(judge(requestOf(BAD)).checks.some(({ id }) => id === 'motor-parameters')).toBe(false);
    expect(fitted).not.toHaveBeenCalled();
  });
  it('is of the motor’s own parameters where only what nobody requires fails', () => {
    fitted.mockReturnValue([own({ outcome: 'pass' })]);
    const segments = [
      segmentOf(FORWARD, { fromS: 0, toS: 1 }),
      segmentOf(REVERSE, { fromS: 1, toS: 2, startsTurning: true }),
    ];
    const read: ReadAt[] = [
      [measuring.REST, { motorCurrentA: 0, supplyVoltageV: 12.5 }],
      [FORWARD, { runningCurrentA: 4, inrushPeakA: 10 }],
      [REVERSE, { inrushPeakA: 30 }],
    ];
    const { checks, verdict } = judge(requestOf(read, { segments }));
    expect(checks.find(({ outcome }) => outcome === 'fail')?.id).toBe('reversal-reverse');
    expect(checks.at(-1)?.id).toBe('motor-parameters');
    expect(verdict).toBe('pass');
  });

  describe('of causes', () => {
    const cause = () => diagnosed.mock.calls[0]?.[0];
    it('is the readings, the stop and the profile’s library', () => {
      const { verdict, findings } = judge(requestOf(BAD, {}, { stop: 'stop-loop' }));
      expect(verdict).toBe('fail');
      expect(findings).toEqual(FOUND);
      expect(cause()).toMatchObject({ seen: measured.mock.results[0]?.value, stop: 'stop-loop' });
      expect(cause()?.library).toBe(libraries.mock.results[0]?.value);
      expect(libraries).toHaveBeenCalledWith(ALONE);
    });
    it('is the library that the request brings', () => {
      const brought = library();
      judge(requestOf(BAD, {}, { library: () => brought }));
      expect(cause()?.library).toBe(brought);
      expect(libraries).not.toHaveBeenCalled();
    });
    it('leaves little to nothing wrong where a check failed: one in a thousand', () => {
      judge(requestOf(BAD));
      expect(cause()?.healthyLog).toBeCloseTo(Math.log(0.001), 12);
    });
    it('speaks for nothing wrong, twenty to one, where none failed', () => {
      const { findings, verdict } = judge(requestOf([FINE[0]!]));
      expect(verdict).toBe('cannot-tell');
      expect(findings).toEqual(FOUND);
      expect(cause()?.healthyLog).toBeCloseTo(Math.log(20), 12);
    });
    it('leaves less to nothing wrong the further off the motor’s own parameters are', () => {
      const leaves = (more: Partial<Check>) => {
        diagnosed.mockClear();
        fitted.mockReturnValue([own(more)]);
        judge(requestOf(FINE));
        return cause()?.healthyLog;
      };
      // The normal density from 5 to 10: (100 - 25) / 2.
      expect(leaves({ value: 10, upper: 5 })).toBeCloseTo(-37.5, 12);
      // Never more than one in a thousand.
      expect(leaves({ value: 5.1, upper: 5 })).toBeCloseTo(Math.log(0.001), 12);
      expect(leaves({ upper: 5 })).toBeCloseTo(Math.log(0.001), 12);
      expect(leaves({ value: 10 })).toBeCloseTo(Math.log(0.001), 12);
    });
    it('does not count parameters that did not fail', () => {
      fitted.mockReturnValue([
        own({ outcome: 'pass', value: 10, upper: 5 }),
        checkOf({ id: 'any', of: 'unit', rank: 1 }, { sentence: '', outcome: 'fail' }),
      ]);
      judge(requestOf(FINE));
      expect(cause()?.healthyLog).toBeCloseTo(Math.log(0.001), 12);
    });
    it('is told how far good units spread in each reading, at most by half', () => {
      const conditioned = (deviation: number) => ({ lower: 0, upper: 0, mean: 0, deviation });
      const good: GoodAt[] = [
        ...GOOD,
        [REVERSE, { runningCurrentA: { nominal: -4, conditioned: conditioned(0.4) } }],
        [REVERSE, { settleS: { nominal: 0.1, conditioned: conditioned(0.2) } }],
        [REVERSE, { feedDropV: { nominal: 0, conditioned: conditioned(0.2) } }],
        [REVERSE, { groundDropV: { nominal: 1e-6, conditioned: conditioned(0.2) } }],
      ];
      judge(requestOf(BAD, { good }));
      expect(cause()?.spread).toEqual({
        forwardRunningCurrentA: 0,
        reverseRunningCurrentA: expect.closeTo(0.1, 12),
        reverseSettleS: 0.5,
      });
    });
    it('is not asked of a protector that alone fails', () => {
      const motor = { ...ALONE.motor, protector: { opensFromS: 4, opensToS: 40 } };
      const unit: ResolvedUnit = { ...ALONE, motor, plan: shippedPlan('hold-the-rotor') };
      const capture = captureOf(
        [{ position: 'forward', durationS: 50, channels: { motorCurrentA: 15 } }],
        20,
      );
      const read: ReadAt[] = [FINE[0]!, [FORWARD, { heldRotorCurrentA: 15 }]];
      const { findings } = judge({ ...requestOf(read, { unit }), capture });
      expect(findings.map(({ id }) => id)).toEqual(['motor-protector']);
      expect(diagnosed).not.toHaveBeenCalled();
    });
    it('names the hand beside the first cause', () => {
      const unit: ResolvedUnit = { ...PAIR, plan: { ...PAIR.plan, throwBy: 'operator' } };
      const good: GoodAt[] = [[FORWARD, { motorVoltageV: 11 }]];
      const { seen, capture, expectation } = contextOf({
        unit,
        throws: [FORWARD],
        good,
        read: [[FORWARD, { motorVoltageV: -11 }]],
      });
      measured.mockReturnValue(seen);
      const { findings } = judge({ unit, capture, expectation });
      expect(findings[0]?.inseparable).toEqual(['thrown-the-other-way']);
    });
  });
});

describe('a run that a short kept from the full feed', () => {
  it('is told without what could not be tried', () => {
    const limited = measuring.runStretch('limited', 'forward');
    const read: ReadAt[] = [
      [limited, { supplyVoltageV: 13, feedCurrentA: [1.05, 0.01], leadAVoltageV: 0.35, leadBVoltageV: 0 }],
    ];
    const segments = [{ of: limited, fromS: 0, toS: 1, brief: false, lost: {}, dropouts: [] }];
    const { checks } = judge(requestOf(read, { segments }, { stop: 'limited-feed-short' }));
    expect(checks.map(({ id, outcome }) => [id, outcome])).toEqual([
      ['supply-adequate', 'pass'],
      ['over-current-stop', 'pass'],
      ['plan-complete', 'not-tested'],
      ['samples-complete', 'pass'],
      ['limited-feed-short', 'fail'],
    ]);
  });
});

describe('the library of a profile', () => {
  const expected = (): UnitExpectation => contextOf().expectation;
  const relayExpected = (): RelayExpectation => {
    const { profileId, seed, draws, method, nominalSupplyV, band } = expected();
    return { kind: 'relay', profileId, seed, draws, method, nominalSupplyV, band };
  };
  it('is made once for each expectation', () => {
    const [first, second] = [requestOf(BAD), requestOf(BAD)];
    for (const request of [first, first, second]) judge(request);
    const [one, again, other] = diagnosed.mock.calls.map(([asked]) => asked.library);
    expect(again).toBe(one);
    expect(other).not.toBe(one);
    expect(libraries).toHaveBeenCalledTimes(2);
  });
  it('may be made while nobody waits for it, and is kept with the expectation then', () => {
    const brought = library();
    const request = requestOf(BAD);
    judge({ ...request, library: () => brought });
    judge(request);
    expect(diagnosed.mock.calls.map(([asked]) => asked.library)).toEqual([brought, brought]);
    expect(diagnosed.mock.lastCall?.[0].library).toBe(brought);
    expect(libraries).not.toHaveBeenCalled();
  });
  it('is by the subject: of a relay by itself its own', () => {
    expect(causeLibrary(PAIR).kind).toBe('unit');
    expect(libraries).toHaveBeenCalledWith(PAIR);
    expect(ofRelay).not.toHaveBeenCalled();
    libraries.mockClear();
    expect(causeLibrary(shipped('mini-changeover-alone')).kind).toBe('relay');
    expect(ofRelay).toHaveBeenCalledTimes(1);
    expect(libraries).not.toHaveBeenCalled();
  });
  it('of a relay does not serve a unit that throws', () => {
    const brought = causeLibrary(shipped('mini-changeover-alone'));
    expect(() => judge(requestOf(BAD, {}, { library: () => brought }))).toThrow(
      new RangeError('the library is of a relay'),
    );
  });
  it('of a relay is asked by its own case', () => {
    const own = relayExpected();
    const failing = checkOf({ id: 'any', of: 'relay', rank: 1 }, { sentence: 'It fails.', outcome: 'fail' });
    vi.mocked(relay.relayCase).mockReturnValue({ checks: [failing], measured: {}, findings: () => FOUND });
    const request: JudgeRequest = {
      unit: shipped('mini-changeover-alone'),
      capture: contextOf().capture,
      expectation: own,
    };
    expect(judge(request)).toEqual({
      verdict: 'fail',
      sentence: 'It fails.',
      says: 'reading',
      checks: [failing],
      findings: FOUND,
      measured: {},
    });
    expect(relay.relayCase).toHaveBeenCalledWith(request, expect.any(Function));
    expect(vi.mocked(relay.relayCase).mock.lastCall?.[1]().kind).toBe('relay');
    expect(measured).not.toHaveBeenCalled();
  });
  it('has a band to draw', () => {
    const own = expected();
    expect(boundOf(own)).toBe(own.band);
  });
});
