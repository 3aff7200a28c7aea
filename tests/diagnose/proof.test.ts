// The readings that prove a finding: what it foretells within 3 of what is left open, and a good unit misses by 4.

import { describe, expect, it } from 'vitest';
import type { LibraryEntry } from '../../host/diagnose/library.js';
import { proofsOf } from '../../host/diagnose/proof.js';
import { REST } from '../../host/measure/index.js';
import {
  FORWARD,
  LIMITED_FORWARD,
  REVERSE,
  type ReadAt,
  type Reads,
  segmentOf,
  WHOLE,
} from '../judge/handmade.js';
import { cause, evidenceOf, patternOf, type Shown } from './handmade.js';

const SEGMENTS = [segmentOf(REST), segmentOf(FORWARD), segmentOf(REVERSE), segmentOf(LIMITED_FORWARD)];
const shown = (...read: readonly ReadAt[]): Shown => ({ read, segments: SEGMENTS });
const forward = (reads: Reads): Shown => shown([FORWARD, reads]);
interface Given {
  supplyRatio?: number;
  others?: readonly LibraryEntry[];
}
const proofs = (
  own: Shown,
  good: Shown,
  seen: Shown,
  { supplyRatio = 1, others = [] }: Given = {},
): string[] => proofsOf(cause('it', [own]), patternOf(good), evidenceOf(seen, supplyRatio), others);

describe('a reading proves a finding', () => {
  const own = forward({ leadBVoltageV: 2 });
  const good = forward({ leadBVoltageV: 0 });

  it('that foretells it, and is told with what a good unit reads', () => {
    expect(proofs(own, good, forward({ leadBVoltageV: 2.1 }))).toEqual([
      'Lead B, forward: 2.1 V, a good unit 0.0 V.',
    ]);
  });

  it('only as far as it agrees, in what rig and model leave open and it was read to', () => {
    // 0.12 V and 1 % of 2 V.
    const open = Math.hypot(0.12, 0.02);
    expect(proofs(own, good, forward({ leadBVoltageV: 2 + 2.99 * open }))).toHaveLength(1);
    expect(proofs(own, good, forward({ leadBVoltageV: 2 + 3.01 * open }))).toHaveLength(0);
    expect(proofs(own, good, forward({ leadBVoltageV: 2 - 2.99 * open }))).toHaveLength(1);
    expect(proofs(own, good, forward({ leadBVoltageV: 2 - 3.01 * open }))).toHaveLength(0);
    const wider = Math.hypot(0.12, 0.02, 0.2);
    expect(proofs(own, good, forward({ leadBVoltageV: [2 + 2.99 * wider, 0.4] }))).toHaveLength(1);
    expect(proofs(own, good, forward({ leadBVoltageV: [2 + 3.01 * wider, 0.4] }))).toHaveLength(0);
  });

  it('only as far as a good unit does not read it', () => {
    const slight = (volts: number) =>
      proofs(forward({ leadBVoltageV: volts }), good, forward({ leadBVoltageV: volts }));
    // 0.12 V and 1 % of half a volt.
    const open = Math.hypot(0.12, 0.005);
    expect(slight(4.05 * open)).toHaveLength(1);
    expect(slight(3.95 * open)).toHaveLength(0);
    expect(slight(-4.05 * open)).toHaveLength(1);
    const uncertain = Math.hypot(0.12, 0.02, 0.6);
    expect(proofs(own, good, forward({ leadBVoltageV: [2, 1.2] }))).toHaveLength(2 / uncertain < 4 ? 0 : 1);
  });

  it('for the supply of this run', () => {
    const ratio = 1.3;
    const [more, usual] = [forward({ leadAVoltageV: 6 }), forward({ leadAVoltageV: 10 })];
    expect(proofs(more, usual, forward({ leadAVoltageV: 6 * ratio }), { supplyRatio: ratio })).toEqual([
      'Lead A, forward: 7.8 V, a good unit 13.0 V.',
    ]);
    expect(proofs(more, usual, forward({ leadAVoltageV: 6 }), { supplyRatio: ratio })).toEqual([]);
  });

  it('where finding, good unit and run all have it, in a stretch of the run', () => {
    const seen = forward({ leadBVoltageV: 2 });
    expect(proofs(forward({}), good, seen)).toEqual([]);
    expect(proofs(own, forward({}), seen)).toEqual([]);
    expect(proofs(own, good, forward({}))).toEqual([]);
    const whole = (operateS: number) => shown([WHOLE, { operateS }]);
    expect(proofs(whole(0.1), whole(0.01), whole(0.1))).toEqual([]);
    const motor = (motorVoltageV: number) => forward({ motorVoltageV });
    expect(proofs(motor(2), motor(9), motor(2))).toEqual([]);
  });

  it('where finding and run threw alike', () => {
    const brief = { ...own, segments: [segmentOf(FORWARD, { brief: true })] };
    expect(proofs(brief, good, forward({ leadBVoltageV: 2 }))).toEqual([]);
  });

  it('with the place where it stands', () => {
    const limited = (volts: number) => shown([LIMITED_FORWARD, { leadBVoltageV: volts }]);
    expect(proofs(limited(1), limited(0), limited(1))).toEqual([
      'Lead B, forward (limited feed): 1.0 V, a good unit 0.0 V.',
    ]);
    const rest = (volts: number) => shown([REST, { leadAVoltageV: volts }]);
    expect(proofs(rest(5), rest(0), rest(5))).toEqual(['Lead A, at rest: 5.0 V, a good unit 0.0 V.']);
  });

  it('in any way that the finding may show', () => {
    const entry = cause('it', [forward({ leadBVoltageV: 5 }), own]);
    expect(proofsOf(entry, patternOf(good), evidenceOf(forward({ leadBVoltageV: 2 })), [])).toHaveLength(1);
  });
});

describe('of several readings', () => {
  const three = (a: number, b: number, coil: number): Shown =>
    forward({ leadAVoltageV: a, leadBVoltageV: b, coilCurrentA: coil });
  const words = (sentences: readonly string[]) => sentences.map((sentence) => sentence.split(',')[0]);

  it('two are told, those furthest off a good unit first', () => {
    // 12 V, 2 V and 0.04 A off: some 70, 16 and 7 of what is left open.
    expect(words(proofs(three(0, 2, 0.04), three(12, 0, 0), three(0, 2, 0.04)))).toEqual([
      'Lead A',
      'Lead B',
    ]);
    expect(words(proofs(three(10, 9, 0.04), three(12, 0, 0), three(10, 9, 0.04)))).toEqual([
      'Lead B',
      'Lead A',
    ]);
  });

  it('those that the fewest other causes foretell come first', () => {
    const seen = three(0, 2, 0.04);
    const others = [
      cause('both', [forward({ leadAVoltageV: 0, leadBVoltageV: 2 })]),
      cause('one', [forward({ leadAVoltageV: 12 }), forward({ leadAVoltageV: 0 })]),
      cause('none', [forward({})]),
    ];
    expect(words(proofs(seen, three(12, 0, 0), seen, { others }))).toEqual(['Coil current', 'Lead B']);
  });

  it('one thing is not proved twice: the feed’s current beside the motor’s, a lead in two throws', () => {
    const currents = (motor: number, feed: number) => forward({ motorCurrentA: motor, feedCurrentA: feed });
    expect(words(proofs(currents(9, 9), currents(4, 4), currents(9, 9)))).toEqual(['Motor current']);
    const leads = (volts: number) =>
      shown([FORWARD, { leadBVoltageV: volts }], [REVERSE, { leadBVoltageV: volts }]);
    expect(proofs(leads(3), leads(0), leads(3))).toHaveLength(1);
  });
});

describe('what comes and goes', () => {
  const loose = (motor: number, harness: number) => ({ dropouts: { motor, harness } });
  const found = (
    reads: readonly ReadAt[],
    more: Parameters<typeof cause>[2],
    own: Shown = shown(),
  ): string[] => proofsOf(cause('it', [own], more), patternOf(shown()), evidenceOf(shown(...reads)), []);

  it('is proved by the throw in which the current was gone oftenest', () => {
    const reads: ReadAt[] = [
      [FORWARD, { dropoutsMotorSide: 2, dropoutsHarnessSide: 1 }],
      [REVERSE, { dropoutsMotorSide: 5, dropoutsHarnessSide: 0 }],
    ];
    expect(found(reads, loose(0.5, 0.01))).toEqual([
      'Current gone for moments, reverse: 5 times with the leads at their voltage, a good unit never.',
    ]);
    expect(found(reads, loose(0.01, 0.5))).toEqual([
      'Current gone for moments, forward: 1 time together with a lead, a good unit never.',
    ]);
    expect(found(reads, loose(0.5, 0.5))).toHaveLength(2);
  });

  it('is not proved where it stayed, nor of a cause that is not known by it', () => {
    expect(found([[FORWARD, { dropoutsMotorSide: 0 }]], loose(0.5, 0.5))).toEqual([]);
    expect(found([[FORWARD, { dropoutsMotorSide: 3 }]], loose(0.1, 0.1))).toEqual([]);
    expect(found([[FORWARD, { dropoutsMotorSide: 3 }]], loose(0.11, 0.1))).toHaveLength(1);
  });

  it('is proved by the ripples of a turn where it makes them uneven', () => {
    const reads: ReadAt[] = [[FORWARD, { ripplesMissingPerTurn: 1, ripplesDeepPerTurn: 2 }]];
    expect(found(reads, { ...loose(0, 0), unevenRipple: 0.9 })).toEqual([
      'Ripples of a turn, forward: 1 missing, 2 too deep, a good unit none.',
    ]);
    expect(found(reads, { ...loose(0, 0), unevenRipple: 0.1 })).toEqual([]);
    expect(found(reads, loose(0, 0))).toEqual([]);
  });

  it('comes before the levels, two proofs in all', () => {
    const reads = (volts: number): ReadAt => [
      FORWARD,
      { leadAVoltageV: volts, coilCurrentA: volts / 100, dropoutsMotorSide: 1 },
    ];
    const good = patternOf(forward({ leadAVoltageV: 0, coilCurrentA: 0 }));
    const entry = cause('it', [shown(reads(9))], loose(0.5, 0.01));
    expect(proofsOf(entry, good, evidenceOf(shown(reads(9))), []).map((each) => each.split(',')[0])).toEqual([
      'Current gone for moments',
      'Lead A',
    ]);
  });
});
