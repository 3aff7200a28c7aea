// The run itself: a supply that proves something, the rig's stop, a plan run to its end, samples that are all there.
// Of a 12 V system 10.8 to 14.8 V at rest, 10 V under load, 8.5 V at the inrush: common practice, no source.

import { describe, expect, it } from 'vitest';
import { runChecks, supplyHolds } from '../../../host/judge/checks/run.js';
import { REST, runStretch } from '../../../host/measure/index.js';
import type { ResolvedUnit } from '../../../host/profile/index.js';
import {
  captureOf,
  checkNamed,
  contextOf,
  FORWARD,
  type Handmade,
  LIMITED_FORWARD,
  REVERSE,
  type Reads,
  segmentOf,
  shipped,
  told,
  WHOLE,
} from '../handmade.js';

const asked = (made: Handmade = {}) => runChecks(contextOf(made));
const named = (id: string, made: Handmade = {}) => checkNamed(asked(made), id);
const ofVolts = (nominalVoltageV: number): ResolvedUnit => {
  const unit = shipped('entry-step-relays');
  return { ...unit, motor: { ...unit.motor, nominalVoltageV } };
};

it('asks four things of every run', () => {
  expect(asked().map(({ id, of, required }) => [id, of, required])).toEqual([
    ['supply-adequate', 'supply', true],
    ['over-current-stop', 'unit', true],
    ['plan-complete', 'rig', true],
    ['samples-complete', 'rig', true],
  ]);
});

describe('the supply', () => {
  const holds = (at: 'rest' | 'load' | 'inrush', volts: number, u = 0, unit = ofVolts(12)): boolean => {
    const reads: Reads =
      at === 'inrush' ? { inrushSupplyVoltageV: [volts, u] } : { supplyVoltageV: [volts, u] };
    const { seen } = contextOf({ read: [[at === 'rest' ? REST : FORWARD, reads]] });
    return supplyHolds(unit, seen);
  };

  it.each([
    ['rest', 10.8, 14.8],
    ['load', 10, 14.8],
    ['inrush', 8.5, 14.8],
  ] as const)('holds at %s from %f to %f V', (at, low, high) => {
    expect(holds(at, low)).toBe(true);
    expect(holds(at, low - 0.01)).toBe(false);
    expect(holds(at, high)).toBe(true);
    expect(holds(at, high + 0.01)).toBe(false);
  });

  it('holds at twice as much of a 24 V system', () => {
    expect(holds('rest', 21.6, 0, ofVolts(24))).toBe(true);
    expect(holds('rest', 21.5, 0, ofVolts(24))).toBe(false);
    expect(holds('inrush', 17.1, 0, ofVolts(24))).toBe(true);
  });

  it('holds while its uncertainty leaves it open', () => {
    expect(holds('rest', 10.75, 0.06)).toBe(true);
    expect(holds('rest', 10.7, 0.06)).toBe(false);
  });

  it('holds from 10 V where nothing tells what it was read from', () => {
    const whole = (volts: number) => contextOf({ read: [[WHOLE, { supplyVoltageV: volts }]] }).seen;
    expect(supplyHolds(ofVolts(12), whole(10))).toBe(true);
    expect(supplyHolds(ofVolts(12), whole(9.9))).toBe(false);
  });

  it('holds where it was not read', () => {
    expect(supplyHolds(ofVolts(12), contextOf({ read: [[FORWARD, { motorVoltageV: 3 }]] }).seen)).toBe(true);
  });

  it('is told by the reading that stands nearest to a limit of its own', () => {
    const supply = named('supply-adequate', {
      read: [
        [REST, { supplyVoltageV: [12.9, 0.04] }],
        [FORWARD, { supplyVoltageV: [11.2, 0.04], inrushSupplyVoltageV: [10.5, 0.04] }],
        [REVERSE, { supplyVoltageV: [11.3, 0.04] }],
      ],
    });
    expect(supply).toMatchObject({
      outcome: 'pass',
      origin: 'generic',
      sentence: 'Supply under load 11.20 ± 0.04 V (expected 10.00 to 14.80 V).',
    });
  });

  it('is told by the earlier of two readings that stand as near', () => {
    const supply = named('supply-adequate', {
      read: [
        [FORWARD, { supplyVoltageV: [11, 0.04] }],
        [REVERSE, { supplyVoltageV: [11, 0.05] }],
      ],
    });
    expect(supply.expandedUncertainty).toBe(0.04);
  });

  it('is told at rest where it stands nearest there, and near its upper limit too', () => {
    const supply = named('supply-adequate', {
      read: [
        [FORWARD, { supplyVoltageV: 12.5 }],
        [REST, { supplyVoltageV: [14.6, 0.03] }],
      ],
    });
    expect(supply.sentence).toBe('Supply at rest 14.60 ± 0.03 V (expected 10.80 to 14.80 V).');
  });

  it('never fails: what is out of range makes the run untested', () => {
    expect(told([named('supply-adequate', { read: [[REST, { supplyVoltageV: [9, 0.04] }]] })])).toEqual([
      [
        'supply-adequate',
        'not-tested',
        'Supply at rest 9.00 ± 0.04 V (expected 10.80 to 14.80 V). Readings on such a supply prove nothing about the unit.',
      ],
    ]);
  });

  it('that is just outside stays a close call', () => {
    expect(named('supply-adequate', { read: [[REST, { supplyVoltageV: [10.78, 0.04] }]] }).outcome).toBe(
      'conditional-fail',
    );
  });

  it('is not tested where it was not sampled', () => {
    expect(told([named('supply-adequate')])).toEqual([
      ['supply-adequate', 'not-tested', 'Supply under load: not measured, the supply was not sampled.'],
    ]);
  });
});

describe('the over-current stop', () => {
  const rig = (motorCurrentA: number, feedCurrentA: number): ResolvedUnit => {
    const unit = shipped('entry-step-relays');
    return { ...unit, rig: { ...unit.rig, trip: { ...unit.rig.trip, motorCurrentA, feedCurrentA } } };
  };
  const stopped = (made: Handmade) =>
    named('over-current-stop', { unit: rig(25, 31), stop: 'over-current', ...made }).sentence;

  it('is passed where the rig did not stop for it, with what it would have stopped at', () => {
    for (const more of [{}, { stop: 'stop-loop' }])
      expect(named('over-current-stop', { unit: rig(25, 31), ...more })).toMatchObject({
        outcome: 'pass',
        sentence: 'The rig saw no over-current (25 A in the motor or 31 A in the feed).',
      });
  });

  it('is not claimed of a capture by another instrument, whose own highest current is told', () => {
    const capture = captureOf([
      { position: 'rest', durationS: 0.01, channels: { motorCurrentA: 0 } },
      { position: 'forward', durationS: 0.01, channels: { motorCurrentA: -12.34 } },
    ]);
    expect(named('over-current-stop', { capture })).toMatchObject({
      ...{ outcome: 'not-tested', required: false },
      sentence: 'No rig watched this run: the highest current read is 12.3 A.',
    });
    expect(named('plan-complete', { capture }).sentence).toBe(
      'Every throw that is asked for is in the capture.',
    );
  });

  it('fails in the throw that it happened in', () => {
    const check = named('over-current-stop', {
      unit: rig(25, 31),
      stop: 'over-current',
      segments: [segmentOf(FORWARD, { fromS: 1, toS: 1.1 })],
    });
    expect(check.outcome).toBe('fail');
    expect(check.sentence).toBe('The rig stopped forward: more than 25 A in the motor or 31 A in the feed.');
  });

  it('is told as behind a throw that was over by more than 0.2 s', () => {
    const behind = (restToS: number) =>
      stopped({
        segments: [
          segmentOf(FORWARD, { fromS: 0.5, toS: 1 }),
          segmentOf(runStretch('full', 'rest', { nth: 2, behind: FORWARD }), { fromS: 1, toS: restToS }),
        ],
      });
    expect(behind(1.25)).toContain('The rig stopped after forward: ');
    expect(behind(1.125)).toContain('The rig stopped forward: ');
    const atTheEdge = [segmentOf(FORWARD, { fromS: -1, toS: 0 }), segmentOf(REST, { fromS: 0, toS: 0.2 })];
    expect(stopped({ segments: atTheEdge })).toContain('The rig stopped forward: ');
  });

  it('is told of the last throw', () => {
    const segments = [
      segmentOf(FORWARD, { fromS: 0, toS: 1 }),
      segmentOf(REST, { fromS: 1, toS: 2 }),
      segmentOf(REVERSE, { fromS: 2, toS: 2.1 }),
    ];
    expect(stopped({ segments })).toContain('The rig stopped reverse: ');
    const behind = [...segments, segmentOf(runStretch('full', 'rest', { nth: 3 }), { fromS: 2.1, toS: 2.5 })];
    expect(stopped({ segments: behind })).toContain('The rig stopped after reverse: ');
  });

  it('is told as at rest where nothing was thrown', () => {
    expect(stopped({ segments: [segmentOf(REST)] })).toContain('The rig stopped at rest: ');
    expect(stopped({ segments: [] })).toContain('The rig stopped at rest: ');
  });
});

describe('the plan', () => {
  const second = runStretch('full', 'forward', { nth: 2 });
  const plan = (made: Handmade) => told([named('plan-complete', made)])[0]?.slice(1);

  it('is complete when every throw was made', () => {
    expect(plan({})).toEqual(['pass', 'Every throw of the plan was made.']);
  });

  it('names the throws that are missing or cut short', () => {
    const segments = [segmentOf(FORWARD), segmentOf(REVERSE, { brief: true })];
    expect(plan({ throws: [FORWARD, REVERSE, second], segments })).toEqual([
      'not-tested',
      'Not the whole plan: the plan was not run to its end; missing or cut short: reverse, forward, throw 2.',
    ]);
  });

  it.each([
    ['limited-feed-short', 'the full feed was kept off'],
    ['stop-loop', 'the run was stopped (stop-loop)'],
    ['over-current', 'the plan was not run to its end'],
  ])('that ended with %s says why', (stop, why) => {
    expect(plan({ stop, segments: [segmentOf(FORWARD)] })).toEqual([
      'not-tested',
      `Not the whole plan: ${why}; missing or cut short: reverse.`,
    ]);
  });

  it('that was stopped behind its last throw misses none', () => {
    expect(plan({ stop: 'host-silence' })).toEqual([
      'not-tested',
      'Not the whole plan: the run was stopped (the board heard nothing from this computer in time and cut the outputs).',
    ]);
  });
});

describe('samples', () => {
  const samples = (made: Handmade) => named('samples-complete', made);
  const lost = (of = FORWARD, part: Handmade['segments'] = []) => [segmentOf(of), ...part];

  it('pass when none were lost', () => {
    expect(samples({})).toMatchObject({
      outcome: 'pass',
      sentence: 'No samples were lost.',
      value: 0,
      unit: '%',
      expandedUncertainty: 0,
      upper: 0.5,
    });
  });

  it('are told by the worst loss of any channel in any stretch', () => {
    const segments = lost(FORWARD, [
      segmentOf(REVERSE, { lost: { leadAVoltageV: 0.1, motorCurrentA: 0.2 } }),
      segmentOf(REST, { lost: { leadBVoltageV: 0.05 } }),
    ]);
    expect(samples({ segments })).toMatchObject({
      outcome: 'not-tested',
      sentence: 'Up to 20 % of samples were lost (the motor current, reverse).',
      value: 20,
    });
  });

  it('are told by the first of two losses that are the same', () => {
    const segments = [FORWARD, REVERSE].map((of) => segmentOf(of, { lost: { leadAVoltageV: 0.1 } }));
    expect(samples({ segments }).sentence).toBe('Up to 10 % of samples were lost (lead A, forward).');
  });

  // Choice of the program: 0.5 %.
  it('may miss one in two hundred', () => {
    const close = samples({ segments: [segmentOf(FORWARD, { lost: { leadAVoltageV: 0.005 } })] });
    expect(close).toMatchObject({
      outcome: 'conditional-pass',
      sentence: 'Up to 0.50 % of samples were lost (lead A, forward).',
    });
    const more = samples({ segments: [segmentOf(FORWARD, { lost: { leadAVoltageV: 0.0051 } })] });
    expect(more.outcome).toBe('not-tested');
  });

  it('are told without decimals from one per cent', () => {
    expect(samples({ segments: [segmentOf(FORWARD, { lost: { leadAVoltageV: 0.01 } })] }).sentence).toBe(
      'Up to 1 % of samples were lost (lead A, forward).',
    );
  });

  it('of the feed current nobody waits for', () => {
    expect(samples({ segments: [segmentOf(FORWARD, { lost: { feedCurrentA: 0.5 } })] }).outcome).toBe('pass');
    expect(samples({ notSampled: ['feedCurrentA'] }).outcome).toBe('pass');
  });

  it('through the limited feed are counted only where most levels lack them', () => {
    const lost = (part: number) =>
      samples({ segments: [segmentOf(LIMITED_FORWARD, { lost: { leadAVoltageV: part } })] });
    expect(lost(0.08).outcome).toBe('pass');
    expect(lost(0.5)).toMatchObject({ outcome: 'not-tested', kind: { rank: -8 } });
  });

  it('of the coils are needed only where coils are used', () => {
    const segments = [segmentOf(FORWARD, { lost: { coilCurrentA: 0.5 } })];
    expect(samples({ segments }).outcome).toBe('pass');
    const good: Handmade['good'] = [[FORWARD, { coilCurrentA: 0.14 }]];
    expect(samples({ segments, good })).toMatchObject({
      outcome: 'not-tested',
      sentence: 'Up to 50 % of samples were lost (the coil current, forward).',
    });
    expect(samples({ notSampled: ['coilCurrentA'], good }).outcome).toBe('not-tested');
    expect(samples({ notSampled: ['coilCurrentA'] }).outcome).toBe('pass');
  });

  it('that the instrument does not take are named', () => {
    expect(
      samples({ notSampled: ['feedCurrentA', 'motorCurrentA', 'leadBVoltageV', 'supplyVoltageV'] }),
    ).toMatchObject({
      outcome: 'not-tested',
      sentence:
        'Not sampled: the motor current, lead B and the supply voltage; what needs it was not tested.',
    });
  });
});

describe('a second switch', () => {
  it('that nobody threw is told as not tested, and holds no verdict up', () => {
    const unit = shipped('entry-step-relays');
    const { positions } = unit.style;
    const style = { ...unit.style, stations: { remote: { title: 'Remote switch', positions } } };
    const check = named('station-remote', { unit: { ...unit, style } });
    expect(check).toMatchObject({
      of: 'harness',
      outcome: 'not-tested',
      required: false,
      sentence: 'Remote switch was not thrown: its own contacts and wires are not tested.',
    });
    expect(check.kind.rank).toBe(180);
  });
});
