// A good unit on a rig whose channels do not agree with each other: it does not fail, it does not pass, and the rig is told of.
// What no unit can do is physics: a motor carries no more than its feed, a lead stands no higher than its supply, and the drop
// over a wire goes with its current (Ohm). What a fault of the unit can do stays the unit's.

import { describe, expect, it } from 'vitest';
import type { Capture, Channel } from '../../host/capture/index.js';
import { faultsOfUnit, nominalInput } from '../../host/circuit/index.js';
import { expectation, judge } from '../../host/judge/index.js';
import { measure } from '../../host/measure/index.js';
import { plannedUnit } from '../profile/planned-unit.js';
import { benchRun } from './bench.js';

const SEED = 19;
const UNIT = plannedUnit('entry-step-relays');
const EXPECTED = expectation(UNIT, { draws: 30 });
const { capture: GOOD } = benchRun(UNIT, nominalInput(UNIT), { seed: SEED });

type Scaled = readonly [channel: Channel, factor: number, beside?: number];
const spoilt = (capture: Capture, ...scaled: Scaled[]): Capture => {
  const channels = { ...capture.channels };
  for (const [channel, factor, beside = 0] of scaled)
    channels[channel] = (channels[channel] ?? new Float64Array()).map((value) => factor * value + beside);
  return { ...capture, channels };
};
const told = (...scaled: Scaled[]) =>
  judge({ unit: UNIT, capture: spoilt(GOOD, ...scaled), expectation: EXPECTED });

describe(`a good unit on a rig that misreads (model of the bench, seed ${SEED})`, () => {
  it('passes where every channel reads right', () => {
    expect(told().verdict).toBe('pass');
  });

  it.each([
    [
      'more feed than motor current',
      [['feedCurrentA', 1.1]],
      'The feed current reads 10 % more than the motor current',
    ],
    [
      'more motor than feed current',
      [['motorCurrentA', 1.1]],
      'The motor current reads 10 % more than the feed current',
    ],
    ['twice the motor current', [['motorCurrentA', 2]], 'which cannot be'],
    ['a supply that is too high', [['supplyVoltageV', 1.1]], 'whatever current flows'],
    ['a supply that is too low', [['supplyVoltageV', 0.93]], 'which cannot be'],
    ['lead A too high', [['leadAVoltageV', 1.1]], 'which cannot be'],
    ['lead B too low', [['leadBVoltageV', 0.9]], 'whatever current flows'],
    ['lead B below ground', [['leadBVoltageV', -0.2]], 'below ground, which cannot be'],
    ['a feed current backwards', [['feedCurrentA', -1]], 'as if the unit fed the battery'],
    ['the zero of lead A off', [['leadAVoltageV', 1, 1]], 'cannot be'],
  ] as const)('is no failure and no pass: %s', (_, scaled, said) => {
    const { verdict, sentence, findings } = told(...scaled);
    expect(verdict).toBe('cannot-tell');
    expect(sentence).toContain(said);
    expect(findings).toEqual([]);
  });

  it('is no failure where it stops for an over-current that no sample comes near', () => {
    const { verdict, sentence } = judge({
      unit: UNIT,
      capture: GOOD,
      expectation: EXPECTED,
      stop: 'over-current',
    });
    expect(verdict).toBe('cannot-tell');
    expect(sentence).toContain('no sample before it shows more than');
  });

  it('is told first by what was lost, where a third of all samples was', () => {
    const { position, timeS, feed, channels } = GOOD;
    const until = position.findIndex((_, i) => feed?.[i] === 'full');
    const holed = (values: Float64Array) =>
      values.slice(0, until).map((value, i) => (i % 15 < 5 ? Number.NaN : value));
    const capture = {
      ...GOOD,
      ...{
        timeS: timeS.slice(0, until),
        position: position.slice(0, until),
        feed: feed?.slice(0, until) ?? [],
      },
      channels: Object.fromEntries(Object.entries(channels).map(([name, values]) => [name, holed(values)])),
    };
    const { verdict, sentence } = judge({ unit: UNIT, capture, expectation: EXPECTED });
    expect(verdict).toBe('cannot-tell');
    expect(sentence).toMatch(/Up to 3[34] % of samples were lost/);
  });

  it('is believed in what a calibrated rig may be off', () => {
    expect(told(['feedCurrentA', 1.01], ['supplyVoltageV', 0.996]).verdict).toBe('pass');
  });
});

describe.each(['entry-step-relays', 'roof-vent-switch'])('no fault of %s is taken for the rig’s', (id) => {
  it('by what its channels say of each other', () => {
    const unit = plannedUnit(id);
    const faults = faultsOfUnit(unit).filter(({ owner }) => owner !== 'rig');
    expect(faults.length).toBeGreaterThan(10);
    const taken = faults.flatMap((fault) => {
      const { capture } = benchRun(unit, { ...nominalInput(unit), faults: [fault] }, { seed: SEED });
      const { doubts = [] } = measure(capture, {
        rig: unit.rig,
        nominalVoltageV: unit.motor.nominalVoltageV,
      });
      return doubts.flatMap(({ kind, sentence }) => (kind === 'misread' ? [`${fault.id}: ${sentence}`] : []));
    });
    expect(taken).toEqual([]);
  });
});
