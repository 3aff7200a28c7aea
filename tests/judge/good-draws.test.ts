// The runs that expected behaviour rests on, in pieces: each the same whoever does it. Nothing is simulated here: what
// would be is written down.

import { afterAll, beforeEach, describe, expect, it, vi } from 'vitest';
import * as circuit from '../../host/circuit/index.js';
import * as plans from '../../host/circuit/tolerance-plan.js';
import { GoodDraws } from '../../host/judge/good-draws.js';
import * as spread from '../../host/judge/motor-spread.js';
import { type MeasureResult, readingOf } from '../../host/measure/index.js';
import type { ResolvedUnit } from '../../host/profile/index.js';
import { captureOf, FORWARD, measuredOf, shipped } from './handmade.js';

// Put in place while these tests run, and taken away behind them: files share their modules.
const STAND_INS = [
  vi.spyOn(plans, 'simulatePlan'),
  vi.spyOn(spread, 'fitHolds'),
  vi.spyOn(spread, 'motorSpread'),
];
afterAll(() => {
  for (const one of STAND_INS) one.mockRestore();
});

const simulated = vi.mocked(plans.simulatePlan);
const fitHolds = vi.mocked(spread.fitHolds);
const motorSpread = vi.mocked(spread.motorSpread);
const UNIT = shipped('window-lift-switch');
const OPTIONS = { seed: 5, draws: 3, sampleRateHz: 2500 };
const MOTOR = { names: ['a'], mean: [0], covariance: [[1]], count: 1 };
/** Steady at these levels, forward all the time; the feed gives what the motor takes. */
const steady = (currentA: number) =>
  captureOf(
    [
      {
        position: 'forward',
        durationS: 0.4,
        channels: { motorCurrentA: currentA, leadAVoltageV: 12, leadBVoltageV: 0, supplyVoltageV: 12 },
      },
    ],
    2500,
  );
/** Another current for each call: 1 A, 2 A, ... */
const numbered = (): void => {
  let n = 0;
  simulated.mockImplementation(() => {
    n += 1;
    return steady(n);
  });
};
const inputs = () => simulated.mock.calls.map(([input]) => input);
const result = (supplyVoltageV: number): MeasureResult => ({
  measured: measuredOf([[FORWARD, { supplyVoltageV }]]),
  segments: [],
  notSampled: [],
  notes: [],
});

beforeEach(() => {
  for (const mock of [simulated, fitHolds, motorSpread]) mock.mockReset();
  fitHolds.mockReturnValue(false);
  numbered();
});

describe('the pieces of an expectation', () => {
  it('are the nominal unit, the nominal unit at four supplies, and the draws', () => {
    const work = new GoodDraws(UNIT, OPTIONS);
    expect(work.count).toBe(8);
    for (let piece = 0; piece < work.count; piece++) work.do(piece);
    const { ripple: _, ...motor } = circuit.nominalInput(UNIT).motor;
    const nominal = { ...circuit.nominalInput(UNIT), motor };
    // 11 to 14.5 V of a battery of 13 V.
    const parts = inputs().map(({ supply }) => Number((supply.voltageV / 13).toFixed(9)));
    expect(parts.slice(0, 5)).toEqual([1, 0.84, 0.92, 1.06, 1.13]);
    expect(inputs()[0]).toEqual(nominal);
    const random = circuit.seededRandom(5);
    const draws = Array.from({ length: 3 }, () => {
      const { ripple: __, ...own } = circuit.drawInput(UNIT, random).motor;
      return own;
    });
    expect(
      inputs()
        .slice(5)
        .map((input) => input.motor),
    ).toEqual(draws);
    for (const [, plan, options] of simulated.mock.calls) {
      expect(plan).toBe(UNIT.plan);
      expect(options).toEqual({ sampleRateHz: 2500, solver: circuit.BAND_SOLVER });
    }
  });

  it('go without the ripple that costs most of the steps', () => {
    expect(circuit.nominalInput(UNIT).motor.ripple).toBeDefined();
    const work = new GoodDraws(UNIT, OPTIONS);
    work.do(0);
    work.do(5);
    for (const { motor } of inputs()) expect(motor.ripple).toBeUndefined();
  });

  it('are the same in whatever order', () => {
    const forth = new GoodDraws(UNIT, OPTIONS);
    for (const piece of [5, 6, 7]) forth.do(piece);
    const inOrder = inputs();
    simulated.mockClear();
    const back = new GoodDraws(UNIT, OPTIONS);
    for (const piece of [7, 6, 5]) back.do(piece);
    expect(inputs().reverse()).toEqual(inOrder);
  });
});

describe('what the pieces give', () => {
  it('is complete when all are done', () => {
    const work = new GoodDraws(UNIT, OPTIONS);
    expect(work.isComplete).toBe(false);
    const { overSupply, runs } = work.finish();
    expect(work.isComplete).toBe(true);
    expect(simulated).toHaveBeenCalledTimes(8);
    const currents = (list: readonly MeasureResult[]) =>
      list.map(({ measured }) =>
        Math.round(readingOf(measured, 'motorCurrentA', FORWARD)?.value ?? Number.NaN),
      );
    expect(currents(overSupply)).toEqual([1, 2, 3, 4, 5]);
    expect(currents(runs)).toEqual([6, 7, 8]);
    work.finish();
    expect(simulated).toHaveBeenCalledTimes(8);
  });

  it('has a band of the draws alone', () => {
    const { band } = new GoodDraws(UNIT, OPTIONS).finish();
    expect(band.lower.motorCurrentA?.[10]).toBe(6);
    expect(band.upper.motorCurrentA?.[10]).toBe(8);
  });

  it('has a band of a draw that came before the nominal unit', () => {
    const work = new GoodDraws(UNIT, OPTIONS);
    work.do(6);
    work.do(0);
    const { band } = work.share().draws;
    expect([band?.lower.motorCurrentA?.[10], band?.upper.motorCurrentA?.[10]]).toEqual([1, 1]);
    // The draw took 1 A, the nominal unit 2 A; the others come after them.
    const { overSupply, runs } = work.finish();
    const amps = (list: readonly MeasureResult[]) =>
      list.map(({ measured }) =>
        Math.round(readingOf(measured, 'motorCurrentA', FORWARD)?.value ?? Number.NaN),
      );
    expect(amps(overSupply)).toEqual([2, 3, 4, 5, 6]);
    expect(amps(runs)).toEqual([7, 1, 8]);
  });

  it('has the model’s speed where the profile tells segments and a motor hangs there', () => {
    const speeds = (unit: ResolvedUnit) => {
      const [nominal] = new GoodDraws(unit, { ...OPTIONS, draws: 0 }).finish().overSupply;
      return Object.values(nominal?.measured ?? {}).filter(({ what }) => what === 'speedRpm').length;
    };
    expect(speeds(UNIT)).toBe(1);
    const { ripple: _, ...motor } = UNIT.motor;
    expect(speeds({ ...UNIT, motor })).toBe(0);
    const { load } = shipped('switch-harness-load');
    expect(speeds({ ...UNIT, load: load! })).toBe(0);
  });
});

describe('how good motors spread', () => {
  const motorOf = (unit = UNIT, pieces = [0]) => {
    const work = new GoodDraws(unit, OPTIONS);
    for (const piece of pieces) work.do(piece);
    return work.share().motor;
  };
  it('comes with the nominal unit, where a fit to it holds', () => {
    motorSpread.mockReturnValue(MOTOR);
    expect(motorOf()).toBeUndefined();
    fitHolds.mockReturnValue(true);
    expect(motorOf()).toBe(MOTOR);
    expect(motorSpread).toHaveBeenCalledWith(UNIT, 5);
    expect(fitHolds.mock.lastCall?.[0]).toBe(UNIT);
  });
  it('comes with no other piece, nor of a harness', () => {
    fitHolds.mockReturnValue(true);
    motorSpread.mockReturnValue(MOTOR);
    expect(motorOf(UNIT, [1, 5])).toBeUndefined();
    expect(motorOf({ ...UNIT, unit: { ...UNIT.unit, subject: 'harness' } })).toBeUndefined();
    expect(fitHolds).not.toHaveBeenCalled();
  });
});

describe('a share of the work', () => {
  it('of nothing is empty', () => {
    expect(new GoodDraws(UNIT, OPTIONS).share()).toStrictEqual({ results: [], draws: { done: [] } });
  });

  it('is taken over by another, that does the rest alone', () => {
    fitHolds.mockReturnValue(true);
    motorSpread.mockReturnValue(MOTOR);
    const [first, second] = [new GoodDraws(UNIT, OPTIONS), new GoodDraws(UNIT, OPTIONS)];
    for (const piece of [0, 1, 5]) first.do(piece);
    for (const piece of [2, 3, 4, 6]) second.do(piece);
    simulated.mockClear();
    second.add(first.share());
    const { band, motor } = second.finish();
    expect(simulated).toHaveBeenCalledTimes(1);
    expect(motor).toBe(MOTOR);
    // Draws took 3 A, 7 A and 8 A.
    expect([band.lower.motorCurrentA?.[10], band.upper.motorCurrentA?.[10]]).toEqual([3, 8]);
  });

  it('is taken over as it is by one that has done nothing', () => {
    const work = new GoodDraws(UNIT, OPTIONS);
    const results = Array.from({ length: 8 }, (_, piece): [number, MeasureResult] => [piece, result(piece)]);
    const band = {
      timeS: Float64Array.of(0),
      lower: { motorCurrentA: Float64Array.of(2) },
      upper: { motorCurrentA: Float64Array.of(4) },
    };
    work.add({ results, draws: { done: [0, 1, 2], band } });
    const done = work.finish();
    expect(simulated).not.toHaveBeenCalled();
    expect(done.band).toEqual(band);
    expect(done.motor).toBeUndefined();
    expect(done.runs).toEqual([5, 6, 7].map(result));
  });

  it('does not take a spread back', () => {
    const work = new GoodDraws(UNIT, OPTIONS);
    work.add({ results: [], draws: { done: [] }, motor: MOTOR });
    work.add({ results: [], draws: { done: [] }, motor: { ...MOTOR, count: 2 } });
    expect(work.share().motor).toBe(MOTOR);
  });
});
