// The eye on a switch that a person throws: to the millisecond, through bounce, and blind to brushes, noise and coasting.
// Signals are written down here in closed form; the motor's decays are exponentials of its own time constants.

import { describe, expect, it } from 'vitest';
import { HandWatch } from '../../host/bench/hand-watch.js';
import { seeded } from '../measure/closed-form.js';

const RATE_HZ = 5000;
const SEED = 99;

interface Levels {
  a?: number;
  b?: number;
  motor?: number;
  coil?: number;
}

/** Samples of `at(t)` in blocks of 10 ms with a count of noise on each channel. */
function watched(untilS: number, at: (timeS: number) => Levels): HandWatch {
  const { normal } = seeded(SEED);
  const watch = new HandWatch();
  watch.rest();
  const perBlock = RATE_HZ / 100;
  for (let from = 0; from < untilS * RATE_HZ; from += perBlock) {
    const timeS = Float64Array.from({ length: perBlock }, (_, i) => (from + i) / RATE_HZ);
    const take = (pick: (levels: Levels) => number | undefined, noise: number): Float64Array =>
      timeS.map((t) => (pick(at(t)) ?? 0) + noise * normal());
    const motorCurrentA = take(({ motor }) => motor, 0.08);
    watch.add({
      timeS,
      channels: {
        leadAVoltageV: take(({ a }) => a, 0.03),
        leadBVoltageV: take(({ b }) => b, 0.03),
        motorCurrentA,
        feedCurrentA: motorCurrentA.map(Math.abs),
        coilCurrentA: take(({ coil }) => coil, 0.001),
      },
    });
  }
  return watch;
}

const THROWN_S = 0.5;
const RELEASED_S = 1.5;
/** A throw with four landings in the first 6 ms. */
const isOn = (t: number): boolean => {
  if (t < THROWN_S || t >= RELEASED_S) return false;
  const since = t - THROWN_S;
  return since > 0.006 || Math.floor(since / 0.001) % 2 === 0;
};
const driven = (t: number): Levels => ({
  a: 12.7,
  b: 0.1,
  motor: 4 + 11 * Math.exp(-(t - THROWN_S) / 0.03),
});

describe(`the eye on a hand-thrown switch, noise of seed ${SEED}`, () => {
  // Through 12 Ohm a lead stands at 0.6 V on a stalled motor and jumps to the feed's 13 V while a brush is lifted.
  it('takes no brush that lifts and lands on the limited feed for a release', () => {
    const isLifted = (t: number): boolean => (t * 1000) % 80 < 5;
    const watch = watched(3, (t) => (isOn(t) || t >= RELEASED_S ? { b: isLifted(t) ? 13 : 0.6 } : {}));
    expect(watch.thrownAtS).toBeCloseTo(THROWN_S, 2);
    expect(watch.releasedAtS).toBeUndefined();
  });

  it('sees nothing in ten seconds of noise', () => {
    expect(watched(10, () => ({})).thrownAtS).toBeUndefined();
  });

  it.each([
    ['coasts with 10 V of back-EMF', (t: number) => 5 * Math.exp(-(t - RELEASED_S) / 0.08)],
    ['is braked to ground', () => 0],
  ])('tells throw and release to the millisecond when the motor %s', (_, later) => {
    const watch = watched(2.2, (t) => {
      if (isOn(t)) return driven(t);
      return t >= RELEASED_S ? { a: later(t), b: -later(t) } : {};
    });
    expect(watch.thrownAtS).toBeCloseTo(THROWN_S, 3);
    expect(watch.releasedAtS).toBeCloseTo(RELEASED_S, 3);
    expect(watch.way).toBe(1);
  });

  it.each<[string, Levels, Levels, -1 | 0 | 1]>([
    ['a motor that stands still on 1 A', {}, { a: 0.1, b: 0.75, motor: -1 }, -1],
    ['a missing ground: both leads go to the feed', {}, { a: 13, b: 13 }, 0],
    ['a rest-high pair: the other lead falls', { a: 13, b: 13 }, { a: 0.2, b: 12.9, motor: -4 }, -1],
    ['an open feed: only the coil draws', {}, { coil: 0.15 }, 0],
    ['a short that is there at rest and goes', { a: 0, motor: 0.2 }, { a: 12.8 }, 1],
  ])('sees %s', (_, rest, thrown, way) => {
    const watch = watched(2, (t) => (isOn(t) ? thrown : rest));
    expect(watch.thrownAtS).toBeCloseTo(THROWN_S, 3);
    expect(watch.releasedAtS).toBeCloseTo(RELEASED_S, 3);
    expect(watch.way).toBe(way);
  });

  it('takes neither a lifting brush nor a bad joint of 20 ms for a release', () => {
    const watch = watched(1.4, (t) => {
      if (!isOn(t)) return {};
      if (t > 0.8 && t < 0.9) return { a: 13, b: 0, motor: 0 };
      return t > 1.1 && t < 1.12 ? { a: 0, b: 0 } : driven(t);
    });
    expect(watch.thrownAtS).toBeCloseTo(THROWN_S, 3);
    expect(watch.releasedAtS).toBeUndefined();
  });

  it('keeps a motor that stops by itself at its limit as thrown', () => {
    const watch = watched(1.4, (t) => (isOn(t) ? (t > 0.9 ? { a: 13, b: 0 } : driven(t)) : {}));
    expect(watch.releasedAtS).toBeUndefined();
  });

  it('takes a spike of 5 ms for no throw', () => {
    const spike = (t: number): Levels => (t > 0.5 && t < 0.505 ? { a: 12, motor: 8 } : {});
    expect(watched(1, spike).thrownAtS).toBeUndefined();
  });
});
