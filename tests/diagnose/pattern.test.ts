// What a cause reads, as the rig would run it: stopped by its over-current trip, and no further than its converter goes.
// Nothing is simulated here: what would be is written down.

import { afterAll, beforeEach, describe, expect, it, vi } from 'vitest';
import type { Capture } from '../../host/capture/index.js';
import * as circuit from '../../host/circuit/index.js';
import { tripIndex } from '../../host/diagnose/index.js';
import { patternOf } from '../../host/diagnose/pattern.js';
import * as measuring from '../../host/measure/index.js';
import { captureOf, FORWARD, segmentOf, shipped } from '../judge/handmade.js';

// Put in place while these tests run, and taken away behind them: files share their modules.
const STAND_INS = [vi.spyOn(circuit, 'simulatePlan'), vi.spyOn(measuring, 'measure')];
afterAll(() => {
  for (const one of STAND_INS) one.mockRestore();
});
const simulated = vi.mocked(circuit.simulatePlan);
const measured = vi.mocked(measuring.measure);

const UNIT = shipped('entry-step-relays');
const INPUT = circuit.nominalInput(UNIT);
const TRIP = { motorCurrentA: 30, feedCurrentA: 20, samples: 4 };
const withTrip = { ...UNIT, rig: { ...UNIT.rig, trip: { ...UNIT.rig.trip, ...TRIP } } };
const course = (
  channel: 'motorCurrentA' | 'feedCurrentA',
  amps: readonly number[],
  rateHz = 2500,
): Capture => {
  const at = (atS: number) => amps[Math.round(atS * rateHz)] ?? 0;
  return captureOf(
    [{ position: 'forward', feed: 'full', durationS: amps.length / rateHz, channels: { [channel]: at } }],
    rateHz,
  );
};
const result = (segments: measuring.Segment[] = []): measuring.MeasureResult => ({
  ...{ measured: {}, segments, notSampled: [], notes: [] },
});
beforeEach(() => {
  for (const one of STAND_INS) one.mockReset();
  measured.mockReturnValue(result());
});

describe('the over-current stop', () => {
  const stopAt = (channel: 'motorCurrentA' | 'feedCurrentA', amps: readonly number[], rateHz?: number) =>
    tripIndex(course(channel, amps, rateHz), withTrip.rig.trip);
  it('comes with as many samples in a row as take the rig’s time', () => {
    // Four at 5 kHz are two at 2.5 kHz.
    expect(stopAt('motorCurrentA', [0, 31, 29, 31, 31, 31])).toBe(4);
    expect(stopAt('motorCurrentA', [31, 31, 31, 0, 31, 31, 31, 31], 5000)).toBe(7);
    expect(stopAt('motorCurrentA', [0, 31], 100)).toBe(1);
  });
  it('is of more than the limit, of the motor either way, of the feed one way', () => {
    expect(stopAt('motorCurrentA', [30, 30, 30])).toBeUndefined();
    expect(stopAt('motorCurrentA', [-31, -31])).toBe(1);
    expect(stopAt('feedCurrentA', [20, 20, 21, 21])).toBe(3);
    expect(stopAt('feedCurrentA', [-31, -31, -31])).toBeUndefined();
  });
});

describe('a pattern', () => {
  const taken = (capture: Capture, unit = withTrip): Capture => {
    simulated.mockReturnValue(capture);
    patternOf(unit, INPUT);
    return measured.mock.lastCall![0];
  };

  it('is of the unit’s plan at half the rig’s rate, measured as ideal and without its ripple', () => {
    taken(course('motorCurrentA', [1, 2]));
    expect(simulated).toHaveBeenCalledWith(INPUT, withTrip.plan, {
      sampleRateHz: 2500,
      solver: circuit.BAND_SOLVER,
    });
    expect(measured.mock.lastCall?.[1]).toEqual({
      nominalVoltageV: UNIT.motor.nominalVoltageV,
      ripple: false,
      isIdeal: true,
    });
  });

  it('ends where the rig stops', () => {
    const { timeS, position, feed, channels } = taken(course('motorCurrentA', [1, 31, 31, 31, 2]));
    expect([timeS.length, position.length, feed?.length]).toEqual([3, 3, 3]);
    expect([...(channels.motorCurrentA ?? [])].slice(0, 2)).toEqual([1, expect.any(Number)]);
    expect(channels.motorCurrentA).toHaveLength(3);
  });

  it('without a feed told has none when it is cut', () => {
    const { feed: _, ...capture } = course('motorCurrentA', [1, 31, 31, 31]);
    expect(taken(capture)).not.toHaveProperty('feed');
  });

  it('is as it is where the rig does not stop', () => {
    const capture = course('motorCurrentA', [1, 2, 3]);
    expect(taken(capture)).toEqual(capture);
    expect(taken(capture).channels.motorCurrentA).toBe(capture.channels.motorCurrentA);
  });

  it('reads no further than the converter goes, up or down, whichever way it counts', () => {
    const { scales } = UNIT.rig;
    const high = { ...withTrip.rig.trip, motorCurrentA: 1e6 };
    for (const perCount of [0.05, -0.05]) {
      const scale = { ...scales.motorCurrentA, perCount, atZeroCount: perCount > 0 ? -20 : 20 };
      const rig = { ...UNIT.rig, adcBits: 10, trip: high, scales: { ...scales, motorCurrentA: scale } };
      const { channels } = taken(course('motorCurrentA', [-50, 0, 50]), { ...UNIT, rig });
      const end = scale.atZeroCount + perCount * 1023;
      const [low, top] = [Math.min(scale.atZeroCount, end), Math.max(scale.atZeroCount, end)];
      expect([...(channels.motorCurrentA ?? [])]).toEqual([low, 0, top]);
      for (const value of [-50, 50]) {
        const one = taken(course('motorCurrentA', [value]), { ...UNIT, rig }).channels.motorCurrentA;
        expect(one?.[0]).toBe(value < 0 ? low : top);
      }
    }
  });

  it('tells the stretch in which the rig stopped: the last one, or the rest before any', () => {
    const stopped = course('motorCurrentA', [31, 31, 31]);
    simulated.mockReturnValue(stopped);
    const segments = [segmentOf(measuring.REST), segmentOf(FORWARD)];
    measured.mockReturnValue(result(segments));
    expect(patternOf(withTrip, INPUT)).toEqual({ measured: {}, segments, tripsIn: 'forward' });
    measured.mockReturnValue(result());
    expect(patternOf(withTrip, INPUT).tripsIn).toBe('rest');
    simulated.mockReturnValue(course('motorCurrentA', [1, 1]));
    expect(patternOf(withTrip, INPUT)).toEqual({ measured: {}, segments: [], tripsIn: undefined });
  });
});
