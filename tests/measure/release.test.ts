// What the motor does once its throw ends, on traces written down: 5 kHz, supply 12 V, 4 A running, the contact opening 5 ms
// behind the command.

import { describe, expect, it } from 'vitest';
import { budgetsOf } from '../../host/measure/budget.js';
import { runStretch } from '../../host/measure/index.js';
import { releaseOf, type ThrowBefore } from '../../host/measure/release.js';
import { traceOf } from '../../host/measure/trace.js';
import { captureOf, FORWARD } from '../judge/handmade.js';

type Course = (atS: number) => number;
interface Made {
  /** From the break on. */
  leadA?: Course;
  leadB?: Course;
  current?: Course;
  breakS?: number;
  durationS?: number;
  before?: Partial<ThrowBefore>;
  without?: readonly ('leads' | 'current')[];
}
const NOTHING: Course = () => 0;
function released({
  leadA = NOTHING,
  leadB = NOTHING,
  current = NOTHING,
  breakS = 0.005,
  durationS = 0.3,
  before = {},
  without = [],
}: Made) {
  const sign = before.sign ?? 1;
  const [drivenA, drivenB] = sign > 0 ? [12, 0] : [0, 12];
  const from =
    (driven: number, course: Course): Course =>
    (atS) =>
      atS < breakS ? driven : course(atS - breakS);
  const channels = {
    ...(without.includes('current') ? {} : { motorCurrentA: from(sign * 4, current) }),
    ...(without.includes('leads')
      ? {}
      : { leadAVoltageV: from(drivenA, leadA), leadBVoltageV: from(drivenB, leadB) }),
  };
  const trace = traceOf(captureOf([{ position: 'rest', durationS, channels }], 5000));
  const stretch = { position: 'rest', from: 0, to: trace.timeS.length } as const;
  const usual: ThrowBefore = {
    ...{ of: FORWARD, sign, runningA: 4, leadAV: drivenA, leadBV: drivenB, supplyV: 12 },
    ...{ inrushA: 20, live: true },
  };
  return releaseOf(trace, stretch, { ...usual, ...before }, budgetsOf(undefined));
}
const falling =
  (from: number, tauS = 0.05): Course =>
  (atS) =>
    from * Math.exp(-atS / tauS);

describe('a release', () => {
  it('to ground through a contact brakes: current flows back, both leads at ground', () => {
    const { class: kind, breakS, measured } = released({ current: falling(-10) });
    expect(kind).toBe('brake-ground');
    expect(breakS).toBeCloseTo(0.005, 9);
    expect(measured.forwardBrakePeakA?.value).toBeGreaterThan(9.7);
    expect(measured.forwardBrakePeakA?.value).toBeLessThan(10);
    expect(measured.forwardReleaseMotorCurrentA?.value).toBeLessThan(-8);
    expect(measured.forwardReleaseBackEmfV).toBeUndefined();
  });

  it('to the feed through a contact brakes high', () => {
    const up: Course = () => 12;
    expect(released({ current: falling(-10), leadA: up, leadB: up }).class).toBe('brake-high');
    const half = (volts: number) =>
      released({ current: falling(-10), leadA: () => volts, leadB: () => volts }).class;
    expect(half(5.9)).toBe('brake-ground');
    expect(half(6.1)).toBe('brake-high');
  });

  it('without a contact coasts: no current, the back-EMF across the leads', () => {
    const { class: kind, measured } = released({ leadA: falling(9) });
    expect(kind).toBe('coast');
    expect(measured.forwardReleaseBackEmfV?.value).toBeCloseTo(9, 1);
    expect(measured.forwardBrakePeakA).toBeUndefined();
    expect(measured.forwardReleaseLeadAVoltageV?.value).toBeLessThan(9);
    expect(measured.forwardReleaseLeadBVoltageV?.value).toBe(0);
  });

  it('is told of the other way as well', () => {
    const reverse = { sign: -1, of: runStretch('full', 'reverse') };
    expect(released({ before: reverse, leadB: falling(9) })).toMatchObject({
      class: 'coast',
      measured: { reverseReleaseBackEmfV: { value: expect.closeTo(9, 1) } },
    });
    expect(released({ before: reverse, current: falling(10) }).class).toBe('brake-ground');
    expect(released({ before: reverse, current: falling(-10) }).class).toBe('still');
  });

  it('of a motor that no longer turns is still', () => {
    expect(released({}).class).toBe('still');
  });

  it('coasts from half a volt, and from a twentieth of the supply on', () => {
    const level = (volts: number, supplyV = 12) =>
      released({ leadA: () => volts, before: { supplyV } }).class;
    expect(level(0.62)).toBe('coast');
    expect(level(0.58)).toBe('still');
    expect(level(0.52, 6)).toBe('coast');
    expect(level(0.48, 6)).toBe('still');
  });

  it('brakes with a current of 0.15 A, or of a twentieth of the start', () => {
    const brakes = (amps: number, before: Partial<ThrowBefore> = {}) =>
      released({ current: (atS) => (atS < 0.1 ? -amps : 0), before }).class;
    expect(brakes(1.02)).toBe('brake-ground');
    expect(brakes(0.98)).toBe('still');
    expect(brakes(0.22, { inrushA: undefined })).toBe('brake-ground');
    expect(brakes(0.18, { inrushA: undefined })).toBe('still');
    expect(brakes(0.16, { inrushA: 1 })).toBe('brake-ground');
    expect(brakes(0.14, { inrushA: 1 })).toBe('still');
    expect(brakes(0.16, { inrushA: undefined, runningA: undefined })).toBe('brake-ground');
  });

  it('is no brake where a current stands for good: a zero has moved, or hum is in it', () => {
    expect(released({ current: () => -3 }).class).toBe('still');
    expect(released({ current: (atS) => 3 * Math.sin(2 * Math.PI * 50 * atS) }).class).toBe('still');
    expect(released({ current: (atS) => -3 + falling(-10)(atS) }).class).toBe('brake-ground');
  });

  it('that never came is driven, where its voltage or its current goes on', () => {
    const never = { breakS: 1, durationS: 0.3 };
    expect(released(never)).toEqual({ class: 'driven', breakS: undefined, measured: {} });
    expect(
      released({ ...never, without: ['leads'], before: { leadAV: undefined, leadBV: undefined } }),
    ).toEqual({ class: 'driven', breakS: undefined, measured: {} });
    expect(released({ ...never, durationS: 0.02 }).class).toBeUndefined();
    expect(released({ ...never, before: { sign: -1, leadAV: 0, leadBV: 12 } }).class).toBe('driven');
  });

  it('without leads has no class, and tells its brake current all the same', () => {
    const { class: kind, measured } = released({ current: falling(-10), without: ['leads'] });
    expect(kind).toBeUndefined();
    expect(measured.forwardBrakePeakA?.value).toBeGreaterThan(9.7);
    expect(released({ without: ['leads'] }).measured.forwardBrakePeakA).toBeUndefined();
  });

  it('without the motor current tells a coast by its voltage, and nothing of a brake', () => {
    expect(released({ leadA: falling(9), without: ['current'] }).class).toBe('coast');
    expect(released({ without: ['current'] }).class).toBeUndefined();
  });

  it('breaks where the current has halved or a lead has left by a quarter of the supply', () => {
    const breaks = (made: Made) => released(made).breakS;
    const stays: Made = { leadA: () => 12, current: () => 4 };
    expect(breaks({ ...stays, current: () => 1.9 })).toBeCloseTo(0.005, 9);
    expect(breaks({ ...stays, current: () => 2.1 })).toBeUndefined();
    expect(breaks({ ...stays, leadA: () => 8.9 })).toBeCloseTo(0.005, 9);
    expect(breaks({ ...stays, leadA: () => 9.1 })).toBeUndefined();
    expect(breaks({ ...stays, leadB: () => 3.1 })).toBeCloseTo(0.005, 9);
    expect(breaks({ ...stays, leadB: () => 2.9 })).toBeUndefined();
    // One sample alone is no break.
    const once: Course = (atS) => (atS < 1e-9 ? 0 : 4);
    expect(breaks({ ...stays, current: once })).toBeUndefined();
  });

  it('is not looked at behind a throw that was not live, nor where nothing is left to look at', () => {
    const nothing = { class: undefined, breakS: undefined, measured: {} };
    expect(released({ leadA: falling(9), before: { live: false } })).toEqual(nothing);
    expect(released({ leadA: falling(9), durationS: 0.0008, breakS: 0 })).toEqual(nothing);
    const short = released({ leadA: falling(9), durationS: 0.0064 });
    expect(short).toEqual({ ...nothing, breakS: expect.closeTo(0.005, 9) });
  });
});
