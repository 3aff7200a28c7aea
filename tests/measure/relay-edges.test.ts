// A relay's contacts from the voltage at 30 and the currents, on captures written down sample by sample: 1 kHz, a supply of
// 12 V, of which half tells open from closed.

import { describe, expect, it } from 'vitest';
import type { Capture, Channel } from '../../host/capture/index.js';
import { carrierOf, cycleOf, edgesOf, edgeTime, openLevelV } from '../../host/measure/relay/edges.js';

type Course = number | ((i: number) => number);
const captureOf = (count: number, channels: Partial<Record<Channel, Course>>): Capture => ({
  timeS: Float64Array.from({ length: count }, (_, i) => i / 1000),
  position: Array.from({ length: count }, () => 'rest' as const),
  channels: Object.fromEntries(
    Object.entries(channels).map(([name, course]) => [
      name,
      Float64Array.from({ length: count }, (_, i) => (typeof course === 'number' ? course : course(i))),
    ]),
  ),
  gaps: [],
  sampleRateHz: 1000,
  notes: [],
});

describe('the level that tells an open contact', () => {
  it('is half the supply behind the first stretch without load', () => {
    const capture = captureOf(20, { supplyVoltageV: (i) => (i < 10 ? 4 : 14) });
    expect(openLevelV(capture, [{ from: 0, to: 10 }])).toBeCloseTo(7, 12);
    expect(openLevelV(capture, [])).toBeCloseTo(4.5, 12);
  });
  it('is half of 12 V where there is no supply to speak of', () => {
    expect(openLevelV(captureOf(9, {}), [])).toBe(6);
    expect(openLevelV(captureOf(9, { supplyVoltageV: 1 }), [])).toBe(6);
    expect(openLevelV(captureOf(9, { supplyVoltageV: 1.2 }), [])).toBeCloseTo(0.6, 12);
  });
});

describe('openings and closings', () => {
  const edges = (volts: readonly number[], from = 0, to = volts.length) => {
    const { timeS, channels } = captureOf(volts.length, { leadBVoltageV: (i) => volts[i] ?? 0 });
    return edgesOf(timeS, channels.leadBVoltageV ?? new Float64Array(), { from, to }, 6).map(
      ({ timeS: atS, closes }) => [Number((1000 * atS).toFixed(6)), closes],
    );
  };
  it('lie where the straight line between two samples passes the level', () => {
    expect(edges([0, 0, 12, 12, 0])).toEqual([
      [1.5, false],
      [3.5, true],
    ]);
    expect(edges([0, 8, 8, 2])).toEqual([
      [0.75, false],
      [2 + 1 / 3, true].map((value) => (typeof value === 'number' ? Number(value.toFixed(6)) : value)),
    ]);
  });
  it('at the level itself count as closed', () => {
    expect(edges([6, 6, 6])).toEqual([]);
    expect(edges([6, 12])).toEqual([[0, false]]);
    expect(edges([12, 6])).toEqual([[1, true]]);
  });
  it('go across lost samples, and not beyond the span', () => {
    expect(edges([0, Number.NaN, 12])).toEqual([[1, false]]);
    expect(edges([0, 12, 0, 12], 1, 3)).toEqual([[1.5, true]]);
  });
});

describe('which contact carries', () => {
  const carrier = (channels: Partial<Record<Channel, Course>>, count = 10) =>
    carrierOf(captureOf(count, channels), { from: 0, to: count }, 6);
  const shut = { leadBVoltageV: 0.1 };
  it('is none where 30 stands above the level', () => {
    expect(carrier({ leadBVoltageV: 12, motorCurrentA: 5, feedCurrentA: 5 })).toBe('none');
    expect(carrier({ leadBVoltageV: 6.1, motorCurrentA: 5, feedCurrentA: 5 })).toBe('none');
    expect(carrier({ leadBVoltageV: 6, motorCurrentA: 5, feedCurrentA: 5 })).toBe('working');
  });
  it('is the one whose branch has more than half of the load current, either way', () => {
    expect(carrier({ ...shut, motorCurrentA: 5, feedCurrentA: 5 })).toBe('working');
    expect(carrier({ ...shut, motorCurrentA: -5, feedCurrentA: 5 })).toBe('working');
    expect(carrier({ ...shut, motorCurrentA: 2.6, feedCurrentA: 5 })).toBe('working');
    expect(carrier({ ...shut, motorCurrentA: 2.4, feedCurrentA: 5 })).toBe('rest');
  });
  it('is not known without a load, the voltage at 30, a current of the branch, or time to look', () => {
    expect(carrier({ ...shut, motorCurrentA: 0.2, feedCurrentA: 0.3 })).toBe('unknown');
    expect(carrier({ ...shut, motorCurrentA: 0.3, feedCurrentA: 0.31 })).toBe('working');
    expect(carrier({ motorCurrentA: 5, feedCurrentA: 5 })).toBe('unknown');
    expect(carrier({ ...shut, feedCurrentA: 5 })).toBe('unknown');
    expect(carrier({ ...shut, motorCurrentA: 5, feedCurrentA: 5 }, 2)).toBe('unknown');
    expect(carrier({ ...shut, motorCurrentA: 5, feedCurrentA: 5 }, 3)).toBe('working');
  });
  it('without the feed’s current is told from its own alone, where that flows', () => {
    expect(carrier({ ...shut, motorCurrentA: 0.31 })).toBe('working');
    expect(carrier({ ...shut, motorCurrentA: 0.3 })).toBe('unknown');
  });
});

describe('the time of a command', () => {
  it('is between its first sample and the one before', () => {
    const timeS = Float64Array.of(0, 1, 3);
    expect([edgeTime(timeS, 0), edgeTime(timeS, 1), edgeTime(timeS, 2)]).toEqual([0, 0.5, 2]);
  });
});

describe('a cycle', () => {
  /** Coil on from 200, off from 400, to 600; `at30` tells where 30 stands open. */
  const CYCLE = { from: 0, on: 200, off: 400, to: 600 };
  interface Made {
    isOpen?: (i: number) => boolean;
    carries?: (i: number) => 'working' | 'rest';
  }
  const onTime = (i: number): 'working' | 'rest' => (i >= 205 && i < 405 ? 'working' : 'rest');
  const cycle = ({ isOpen = () => false, carries = onTime }: Made, channels = {}) =>
    cycleOf(
      captureOf(600, {
        leadBVoltageV: (i) => (isOpen(i) ? 12 : 0),
        motorCurrentA: (i) => (carries(i) === 'working' && !isOpen(i) ? 5 : 0),
        feedCurrentA: (i) => (isOpen(i) ? 0 : 5),
        ...channels,
      }),
      CYCLE,
      6,
    );
  const within =
    (...spans: readonly (readonly [number, number])[]) =>
    (i: number): boolean =>
      spans.some(([from, to]) => i >= from && i < to);
  const ms = (value: number | undefined): number => Number((1000 * (value ?? Number.NaN)).toFixed(6));

  it('of a good relay opens, closes and bounces both ways, timed from the coil', () => {
    // The commands lie at 199.5 and 399.5 ms, edges between two samples.
    const seen = cycle({ isOpen: within([203, 205], [206, 207], [402, 405], [407, 408]) });
    expect([seen?.before, seen?.on, seen?.after]).toEqual(['rest', 'working', 'rest']);
    expect(ms(seen?.operate.opensS)).toBe(3);
    expect(ms(seen?.operate.closesS)).toBe(5);
    expect(ms(seen?.operate.bounceS)).toBe(2);
    expect(seen?.operate.gapless).toBe(false);
    expect(ms(seen?.release.opensS)).toBe(2);
    expect(ms(seen?.release.closesS)).toBe(5);
    expect(ms(seen?.release.bounceS)).toBe(3);
    expect(ms(seen?.workingOpensS)).toBe(2);
  });

  it('that closes once does not bounce', () => {
    expect(cycle({ isOpen: within([203, 205]) })?.operate.bounceS).toBe(0);
  });

  it('whose current went over without a gap says so, where it went over', () => {
    const seen = cycle({});
    expect(seen?.operate).toEqual({ gapless: true });
    expect(seen?.release).toEqual({ gapless: true });
    expect(seen).not.toHaveProperty('workingOpensS');
    const stuck = cycle({ carries: () => 'rest' });
    expect([stuck?.before, stuck?.on, stuck?.after]).toEqual(['rest', 'rest', 'rest']);
    expect(stuck?.operate).toEqual({ gapless: false });
  });

  it('of a contact that never closes opens only', () => {
    const seen = cycle({ isOpen: within([203, 405]) });
    expect(seen?.on).toBe('none');
    expect(ms(seen?.operate.opensS)).toBe(3);
    expect(seen?.operate).not.toHaveProperty('closesS');
    expect(seen?.operate).not.toHaveProperty('bounceS');
    expect(seen?.release).not.toHaveProperty('opensS');
    expect(ms(seen?.release.closesS)).toBe(5);
    expect(seen).not.toHaveProperty('workingOpensS');
    expect(seen?.operate.gapless).toBe(false);
    expect(seen?.release.gapless).toBe(false);
  });

  it('of one that was open before closes from the command on', () => {
    const seen = cycle({ isOpen: within([0, 205], [402, 600]) });
    expect([seen?.before, seen?.on, seen?.after]).toEqual(['none', 'working', 'none']);
    expect(seen?.operate).not.toHaveProperty('opensS');
    expect(ms(seen?.operate.closesS)).toBe(5);
    expect(ms(seen?.release.opensS)).toBe(2);
    expect(seen?.release).not.toHaveProperty('closesS');
    expect(ms(seen?.workingOpensS)).toBe(2);
  });

  it('of a welded contact does not let go', () => {
    const seen = cycle({
      carries: (i) => (i >= 205 ? 'working' : 'rest'),
      isOpen: within([203, 205], [410, 412]),
    });
    expect(seen?.after).toBe('working');
    expect(seen).not.toHaveProperty('workingOpensS');
  });

  it('without a load known closes all the same, and is never without a gap', () => {
    const seen = cycle({ isOpen: within([203, 205]) }, { feedCurrentA: 0, motorCurrentA: 0 });
    expect(seen?.on).toBe('unknown');
    expect(ms(seen?.operate.closesS)).toBe(5);
    expect(cycle({}, { feedCurrentA: 0, motorCurrentA: 0 })?.operate.gapless).toBe(false);
  });

  it('does not take what happens once the armature has landed for bounce', () => {
    // 60 ms behind the command.
    expect(ms(cycle({ isOpen: within([203, 205], [250, 251]) })?.operate.bounceS)).toBe(46);
    expect(cycle({ isOpen: within([203, 205], [270, 271]) })?.operate.bounceS).toBe(0);
  });

  it('takes of the rest before it the last tenth of a second', () => {
    const early = cycle({ isOpen: within([0, 99]) });
    expect(early?.before).toBe('rest');
    const late = cycle({ isOpen: within([0, 160]) });
    expect(late?.before).toBe('none');
  });

  it('is not known without the voltage at 30', () => {
    expect(cycleOf(captureOf(600, { motorCurrentA: 5 }), CYCLE, 6)).toBeUndefined();
  });
});
