// One run of a relay by itself from capture to case, and what is drawn behind its traces. Nothing is simulated or
// measured here: what would be is written down.

import { afterAll, beforeEach, describe, expect, it, vi } from 'vitest';
import * as circuit from '../../../host/circuit/index.js';
import * as plans from '../../../host/circuit/tolerance-plan.js';
import { type DiagnosisLibrary, nothingWrong } from '../../../host/diagnose/index.js';
import type { RelayExpectation } from '../../../host/judge/expectation.js';
import { passesBy } from '../../../host/judge/index.js';
import { relayExpectation } from '../../../host/judge/relay/expectation.js';
import { relayCase } from '../../../host/judge/relay/index.js';
import { measureRelayUnit, relayOf } from '../../../host/judge/relay/measuring.js';
import type { RelayLibrary } from '../../../host/judge/relay/patterns.js';
import * as measure from '../../../host/measure/index.js';
import { captureOf, shipped } from '../handmade.js';
import { ALONE, relayOf as ownRelay, seenOf } from './handmade.js';

// Put in place while these tests run, and taken away behind them: files share their modules.
const STAND_INS = [vi.spyOn(plans, 'simulatePlan'), vi.spyOn(measure, 'measureRelay')];
afterAll(() => {
  for (const one of STAND_INS) one.mockRestore();
});

const simulated = vi.mocked(plans.simulatePlan);
const measured = vi.mocked(measure.measureRelay);
const CAPTURE = captureOf([{ position: 'rest', durationS: 0.01, channels: { coilCurrentA: 0.1 } }]);
const expected = (): RelayExpectation => ({
  kind: 'relay',
  profileId: 'any',
  seed: 1,
  draws: 6,
  method: '',
  nominalSupplyV: 12,
  band: { timeS: new Float64Array(), lower: {}, upper: {} },
});

beforeEach(() => {
  for (const mock of [simulated, measured]) mock.mockReset();
});

describe('a relay’s capture', () => {
  it('is measured with what its unit says of bench, temperature and nominal voltage', () => {
    const seen = seenOf({});
    measured.mockReturnValue(seen);
    expect(measureRelayUnit(ALONE, CAPTURE)).toBe(seen);
    const [[capture, options] = []] = measured.mock.calls;
    expect(capture).toBe(CAPTURE);
    expect(options).toEqual({
      rig: ALONE.rig,
      ...circuit.relayBench(ALONE),
      temperatureC: { nominal: 20, plusMinus: 20 },
      nominalVoltageV: 12,
    });
  });

  it('needs a relay', () => {
    expect(relayOf(ALONE)).toBe(ownRelay());
    const { relay: _, ...without } = ALONE;
    expect(() => relayOf(without)).toThrow(new RangeError('unit mini-changeover-alone names no relay'));
  });
});

describe('a relay’s run', () => {
  const known = vi.fn(
    (): RelayLibrary => ({
      ...{ kind: 'relay', profileId: 'any', unit: ALONE, supplyV: 13, notes: [] },
      entries: [{ hypothesis: { ...nothingWrong, id: 'k1-odd' }, patterns: [seenOf({})], answers: {} }],
    }),
  );
  beforeEach(() => known.mockClear());

  it('is asked and told as it was measured', () => {
    const seen = seenOf({ read: { coilResistanceOhm: 75 } });
    measured.mockReturnValue(seen);
    const one = relayCase(
      { unit: ALONE, capture: CAPTURE, expectation: expected(), stop: 'over-current' },
      known,
    );
    expect(one.measured).toBe(seen.measured);
    expect(one.checks.map(({ id }) => id)).toEqual(
      expect.arrayContaining(['over-current', 'coil-resistance']),
    );
    expect(known).not.toHaveBeenCalled();
  });

  it('is held against its patterns only when findings are asked for', () => {
    measured.mockReturnValue(seenOf({}));
    const one = relayCase({ unit: ALONE, capture: CAPTURE, expectation: expected() }, known);
    expect(known).not.toHaveBeenCalled();
    expect(one.findings().map(({ id }) => id)).toContain('k1-odd');
    expect(known).toHaveBeenCalledTimes(1);
  });

  it('is not held against the causes of a unit that throws', () => {
    measured.mockReturnValue(seenOf({}));
    const other: DiagnosisLibrary = { ...known(), kind: 'unit', entries: [] };
    const one = relayCase({ unit: ALONE, capture: CAPTURE, expectation: expected() }, () => other);
    expect(() => one.findings()).toThrow(new RangeError('the library is of a unit that throws'));
  });

  it('is known by its test current from the module’s own door', () => {
    expect(passesBy(seenOf({ suppression: { kind: 'shorted' } }))).toBe(true);
  });
});

describe('what is drawn behind a relay’s traces', () => {
  const run = (currentA: number) =>
    captureOf([{ position: 'rest', durationS: 0.01, channels: { coilCurrentA: currentA } }]);

  it('is the lowest and the highest of six relays', () => {
    const currents = [0.15, 0.12, 0.13, 0.16, 0.14, 0.14];
    for (const currentA of currents) simulated.mockReturnValueOnce(run(currentA));
    const { band, ...told } = relayExpectation(ALONE);
    expect(simulated).toHaveBeenCalledTimes(6);
    expect(told).toEqual({
      kind: 'relay',
      profileId: 'mini-changeover-alone',
      seed: 20200901,
      draws: 6,
      method: 'limits of the profile, published ranges of 12 V plug-in relays, and common workshop practice',
      nominalSupplyV: 13,
    });
    expect(band.lower.coilCurrentA?.[0]).toBe(0.12);
    expect(band.upper.coilCurrentA?.[0]).toBe(0.16);
  });

  it('goes without the turning of the supply, on relays of the seed', () => {
    simulated.mockReturnValue(run(0.14));
    expect(relayExpectation(ALONE, { seed: 5 }).seed).toBe(5);
    const random = circuit.seededRandom(5);
    const inputs = Array.from({ length: 6 }, () => circuit.withoutRipple(circuit.drawInput(ALONE, random)));
    expect(simulated.mock.calls.map(([input]) => input)).toEqual(inputs);
    for (const [, plan, options] of simulated.mock.calls) {
      expect(plan.steps.some(({ ask }) => ask === 'ramp-coil')).toBe(false);
      expect(plan.steps).toHaveLength(ALONE.plan.steps.length - 1);
      expect(options).toEqual({ sampleRateHz: 2500, solver: { relativeTolerance: 4e-3 } });
    }
  });

  it('has cells without samples left empty', () => {
    // 5 ms apart: of the cells of 2 ms some have none.
    simulated.mockReturnValue(
      captureOf([{ position: 'rest', durationS: 0.02, channels: { coilCurrentA: 0.14 } }], 200),
    );
    const { lower } = relayExpectation(ALONE).band;
    expect([...(lower.coilCurrentA ?? [])].slice(0, 3)).toEqual([0.14, Number.NaN, 0.14]);
  });
});

it('a unit with a motor names a relay of its own', () => {
  expect(relayOf(shipped('entry-step-relays')).id).toBe('mini-changeover');
});
