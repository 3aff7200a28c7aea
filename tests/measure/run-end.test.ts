// A motor that stops by itself while it is thrown, on traces written down: 1 kHz, contact at 10 ms, a supply of 12 V. Gone
// for 30 ms, to less than half of what ran; leads at half the supply: choices of the program.

import { describe, expect, it } from 'vitest';
import { runEnd } from '../../host/measure/run-end.js';
import { traceOf } from '../../host/measure/trace.js';
import { captureOf } from '../judge/handmade.js';

type Course = (i: number) => number;
interface Made {
  current?: Course;
  volts?: Course;
  noiseA?: number;
  hasLeads?: boolean;
  stopsItself?: boolean;
  count?: number;
}
/** 4 A from the contact on, gone from sample 200 of 300. */
const ENDED: Course = (i) => (i >= 10 && i < 200 ? 4 : 0);
function ended(made: Made) {
  const { current = ENDED, volts = () => 11.5, noiseA = 0, hasLeads = true, count = 300, stopsItself } = made;
  const at = (course: Course) => (atS: number) => course(Math.round(1000 * atS));
  const channels = {
    motorCurrentA: at(current),
    ...(hasLeads ? { leadAVoltageV: at(volts), leadBVoltageV: 0 } : {}),
  };
  const trace = traceOf(captureOf([{ position: 'forward', durationS: count / 1000, channels }], 1000));
  const values = Float64Array.from({ length: count }, (_, i) => current(i));
  return runEnd(trace, { current: values, contact: 10, to: count, noiseA, supplyV: 12, stopsItself });
}

describe('the end of a run', () => {
  it('is the first sample behind the last current', () => {
    expect(ended({})).toBe(200);
    expect(ended({ current: (i) => -ENDED(i) })).toBe(200);
  });
  it('is none where the current flows to the end', () => {
    expect(ended({ current: (i) => (i >= 10 ? 4 : 0) })).toBeUndefined();
  });
  it('is none where it was gone for less than 30 ms', () => {
    expect(ended({ current: (i) => (i >= 10 && i < 270 ? 4 : 0) })).toBe(270);
    expect(ended({ current: (i) => (i >= 10 && i < 271 ? 4 : 0) })).toBeUndefined();
  });
  it('is not put off by one sample of noise', () => {
    expect(ended({ current: (i) => (i === 250 ? 4 : ENDED(i)) })).toBe(200);
    expect(ended({ current: (i) => (i >= 240 && i < 252 ? 4 : ENDED(i)) })).toBe(252);
  });
  it('is none where samples behind it were lost', () => {
    expect(ended({ current: (i) => (i === 290 ? Number.NaN : ENDED(i)) })).toBeUndefined();
  });
  it('is none of what had only started', () => {
    // Read up to 60 ms behind the contact.
    expect(ended({ current: (i) => (i >= 10 && i < 65 ? 4 : 0) })).toBeUndefined();
    expect(ended({ current: (i) => (i >= 10 && i < 75 ? 4 : 0) })).toBe(75);
  });
  it('is none of a current that never stood clear of nothing or of its noise', () => {
    const small = (amps: number, noiseA = 0) => ended({ current: (i) => (ENDED(i) > 0 ? amps : 0), noiseA });
    expect(small(0.11)).toBe(200);
    expect(small(0.1)).toBeUndefined();
    expect(small(4, 0.79)).toBe(200);
    expect(small(4, 0.8)).toBeUndefined();
  });
  it('is sudden: what is left is less than half of what ran just before', () => {
    // Little by little down to a twentieth of what ran, below which nothing flows.
    const falling: Course = (i) => {
      if (i < 150) return i < 10 ? 0 : 4 - 0.075 * Math.max(0, i - 100);
      return i < 200 ? 0.25 - 0.001 * (i - 150) : 0.19;
    };
    expect(ended({ current: falling })).toBeUndefined();
    const stepped =
      (left: number): Course =>
      (i) =>
        i < 10 ? 0 : i < 100 ? 4 : i < 200 ? 0.3 : left;
    expect(ended({ current: stepped(0.14) })).toBe(200);
    expect(ended({ current: stepped(0.16) })).toBeUndefined();
  });
  it('leaves the leads at their voltage: more than half the supply, either way', () => {
    expect(ended({ volts: (i) => (i < 200 ? 11.5 : 6.1) })).toBe(200);
    expect(ended({ volts: (i) => (i < 200 ? 11.5 : 5.9) })).toBeUndefined();
    expect(ended({ volts: () => -11.5 })).toBe(200);
    expect(ended({ hasLeads: false })).toBeUndefined();
    expect(ended({ hasLeads: false, stopsItself: true })).toBe(200);
  });
});
