// Stretches through the limited feed: named apart, read for their levels only, and told as a short when the full feed
// would drive more than the rig's trip. Numbers by Ohm's law on a plain divider.

import { describe, expect, it } from 'vitest';
import type { Capture, Feed, Position } from '../../host/capture/index.js';
import { type FeedPath, limitedReadings, limitedShort, measure } from '../../host/measure/index.js';
import { loadRig } from '../../host/profile/index.js';

const RATE_HZ = 5000;
const SUPPLY_V = 13;
const SOURCE_OHM = 0.04;
const PATH: FeedPath = {
  nominalVoltageV: SUPPLY_V,
  sourceOhm: SOURCE_OHM,
  fullFeedOhm: 0.07,
  limiterOhm: 12,
  tripA: 30,
  brushDropV: 0,
};

interface Stretch {
  position: Position;
  feed: Feed;
  lengthS: number;
  /** Between the fed lead and ground; absent draws nothing. */
  loadOhm?: number;
  /** Current that takes another way than through the leads. */
  strayA?: number;
}

/** Ideal levels of a load on the limiter, forward on lead A. */
function captureOf(stretches: readonly Stretch[]): Capture {
  const count = (s: number): number => Math.round(s * RATE_HZ);
  const total = stretches.reduce((sum, { lengthS }) => sum + count(lengthS), 0);
  const make = (): Float64Array => new Float64Array(total);
  const channels = {
    feedCurrentA: make(),
    motorCurrentA: make(),
    coilCurrentA: make(),
    leadAVoltageV: make(),
    leadBVoltageV: make(),
    supplyVoltageV: make(),
  };
  const position: Position[] = [];
  const feed: Feed[] = [];
  for (const { position: word, feed: fed, lengthS, loadOhm, strayA = 0 } of stretches) {
    const limiter = fed === 'limited' ? PATH.limiterOhm : 0.03;
    const currentA = loadOhm === undefined || fed === 'off' ? 0 : SUPPLY_V / (SOURCE_OHM + limiter + loadOhm);
    for (let i = 0; i < count(lengthS); i++) {
      const at = position.length;
      position.push(word);
      feed.push(fed);
      channels.feedCurrentA[at] = currentA + strayA;
      channels.motorCurrentA[at] = currentA * (word === 'reverse' ? -1 : 1);
      channels.leadAVoltageV[at] = word === 'reverse' ? 0 : currentA * (loadOhm ?? 0);
      channels.leadBVoltageV[at] = word === 'reverse' ? currentA * (loadOhm ?? 0) : 0;
      channels.supplyVoltageV[at] = SUPPLY_V - SOURCE_OHM * (currentA + strayA);
    }
  }
  const timeS = Float64Array.from({ length: total }, (_, i) => i / RATE_HZ);
  return { timeS, position, feed, channels, gaps: [], sampleRateHz: RATE_HZ, notes: [] };
}

const LEAD_IN: Stretch = { position: 'rest', feed: 'off', lengthS: 0.2 };
const REST: Stretch = { position: 'rest', feed: 'limited', lengthS: 0.2 };
const throwOf = (position: Position, more: Partial<Stretch>): Stretch => ({
  position,
  feed: 'limited',
  lengthS: 0.2,
  ...more,
});
const seenIn = (...stretches: Stretch[]) => measure(captureOf(stretches), { rig: loadRig('reference-rig') });

describe('stretches through the limited feed', () => {
  it('have names of their own, and leave those of the full feed as they are', () => {
    const { segments, measured } = seenIn(
      LEAD_IN,
      REST,
      throwOf('forward', { loadOhm: 0.7 }),
      REST,
      throwOf('reverse', { loadOhm: 0.7 }),
      REST,
      { position: 'rest', feed: 'full', lengthS: 0.3 },
      { position: 'forward', feed: 'full', lengthS: 0.5, loadOhm: 3 },
      { position: 'rest', feed: 'full', lengthS: 0.3 },
      { position: 'rest', feed: 'off', lengthS: 0.05 },
    );
    expect(segments.map(({ of }) => of.id)).toEqual([
      'limitedRest',
      'limitedForward',
      'limitedRest2',
      'limitedReverse',
      'limitedRest3',
      'rest',
      'forward',
      'rest2',
    ]);
    // 13 V over 12 + 0.04 + 0.7 Ohm.
    expect(measured.limitedForwardFeedCurrentA!.value).toBeCloseTo(1.0204, 3);
    expect(measured.limitedForwardLeadAVoltageV!.value).toBeCloseTo(0.7143, 3);
    expect(measured.limitedReverseMotorVoltageV!.value).toBeCloseTo(-0.7143, 3);
    expect(measured.forwardRunningCurrentA!.value).toBeCloseTo(13 / 3.07, 3);
    expect(Object.keys(measured).filter((name) => /^limited.*(?:Inrush|Running|Release)/.test(name))).toEqual(
      [],
    );
    expect(measured.restSupplyVoltageV!.value).toBeCloseTo(13, 9);
  });

  it('tell a short by the resistance that is left: 0.1 Ohm is one, 0.7 Ohm is none', () => {
    const left = (loadOhm: number) =>
      limitedReadings(seenIn(LEAD_IN, REST, throwOf('forward', { loadOhm }), REST), PATH)[1]!;
    const short = left(0.1);
    expect(short.leftOhm!.value).toBeCloseTo(0.17, 3);
    expect(short.leastOhm).toBeCloseTo(13 / 30, 3);
    expect(short.isShort).toBe(true);
    const motor = left(0.7);
    expect(motor.leftOhm!.value).toBeCloseTo(0.77, 3);
    expect(motor.isShort).toBe(false);
    // 13 V over 30 A, less the rig's 0.07 Ohm: on the limit nothing is sure, and the full feed with its trip decides.
    expect(left(13 / 30 - 0.07).isShort).toBe(false);
  });

  it('take neither an open circuit nor a little leakage for a short, though both leads stand at zero', () => {
    expect(limitedShort(seenIn(LEAD_IN, REST, throwOf('forward', {}), REST), PATH)).toBeUndefined();
    const leaking = seenIn(LEAD_IN, REST, throwOf('forward', { strayA: 0.4 }), REST);
    expect(limitedShort(leaking, PATH)).toBeUndefined();
  });

  it('find a short at rest, and one that a buzzing relay makes for a few milliseconds at a time', () => {
    const atRest = seenIn(LEAD_IN, { ...REST, loadOhm: 0.05 }, throwOf('forward', { loadOhm: 0.7 }), REST);
    expect(limitedShort(atRest, PATH)?.of.id).toBe('limitedRest');
    const buzz = Array.from({ length: 20 }, (_, i) =>
      throwOf('forward', { lengthS: 0.005, loadOhm: i % 2 === 0 ? 0.05 : 1e6 }),
    );
    expect(limitedShort(seenIn(LEAD_IN, REST, ...buzz, REST), PATH)?.of.id).toBe('limitedForward');
  });
});
