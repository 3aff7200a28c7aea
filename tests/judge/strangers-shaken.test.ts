// A healthy motor on instruments that add what a bench adds: noise of 5 % of full scale, hum of the mains at 50 and 60 Hz, a
// zero that drifts, and a switch that bounces under a hand for 20 ms (common practice, no source). The motor is integrated
// outside the program (tests/references/outside-motor.ts); nothing of it is a fault of the unit.

import { describe, expect, it } from 'vitest';
import type { Capture, Channel } from '../../host/capture/index.js';
import { seededRandom } from '../../host/circuit/index.js';
import { diagnosisLibrary } from '../../host/diagnose/index.js';
import { asWitnessed, type Judgement, judge } from '../../host/judge/index.js';
import { measure, readingOf, runStretch } from '../../host/measure/index.js';
import { loadUnit, type ResolvedUnit } from '../../host/profile/index.js';
import { asSeen, type OutsideRun, outsideRun } from '../references/outside-motor.js';
import { expectationOf } from './known-expectations.js';

const SEED = 8821;
const ALL: readonly Channel[] = ['motorCurrentA', 'leadAVoltageV', 'leadBVoltageV', 'supplyVoltageV'];
const BOTH: OutsideRun = {
  throws: [
    [0.3, 1.2, 1],
    [1.9, 2.8, -1],
  ],
  lasts: 3.4,
};
const good = outsideRun(BOTH);

const witnessed = (id: string): ResolvedUnit =>
  asWitnessed(loadUnit(id), { positionKnown: false } as Capture);
const unit = witnessed('window-lift-switch');
const library = diagnosisLibrary(unit);
const told = (capture: Capture): Judgement =>
  judge({ unit, capture, expectation: expectationOf(unit, 40), library: () => library });

const shaken = (capture: Capture, amplitudeV: number, hz: number): Capture => ({
  ...capture,
  channels: Object.fromEntries(
    Object.entries(capture.channels).map(([name, values]) => [
      name,
      /V$/.test(name)
        ? values.map((v, k) => v + amplitudeV * Math.sin(2 * Math.PI * hz * capture.timeS[k]! + 1))
        : values,
    ]),
  ),
});
const hum = (hz: number, amplitudeA: number, amplitudeV: number): Capture =>
  shaken(
    asSeen(good, ALL, { seed: SEED, errorA: (t) => amplitudeA * Math.sin(2 * Math.PI * hz * t) }),
    amplitudeV,
    hz,
  );

describe(`a healthy motor on an instrument that is shaken (noise ${SEED})`, () => {
  it.each<[string, () => Capture]>([
    ['noise of 5 % of full scale', () => asSeen(good, ALL, { seed: SEED, noiseA: 1.5, noiseV: 1 })],
    ['hum at 50 Hz', () => hum(50, 0.5, 0.3)],
    ['hum at 60 Hz', () => hum(60, 1.2, 0.5)],
    ['a zero that drifts by 1.4 A', () => asSeen(good, ALL, { seed: SEED, errorA: (t) => 0.4 * t })],
  ])('is not failed: %s', (_words, made) => {
    const judged = told(made());
    expect(judged.verdict, judged.sentence).not.toBe('fail');
    const causes = judged.findings.flatMap(({ causes: of }) => of ?? []);
    expect(causes.filter(({ id, likelihood }) => id !== 'healthy' && likelihood >= 0.5)).toEqual([]);
  });
});

describe(`a switch that bounces under a hand (seed ${SEED})`, () => {
  const random = seededRandom(SEED);
  const open = new Map<number, boolean>();
  /** Slots of 1.5 ms, each open or closed by chance, for 20 ms behind every first contact. */
  const isOn = (t: number): boolean => {
    const [from] = BOTH.throws.find(([since]) => t >= since && t < since + 0.02) ?? [];
    if (from === undefined) return true;
    const slot = Math.floor(t / 0.0015);
    if (!open.has(slot)) open.set(slot, random.uniform() < 0.45);
    return open.get(slot) !== true;
  };
  const bounced = asSeen(outsideRun({ ...BOTH, isOn, feedOhm: 0.008, groundOhm: 0.008 }), ['motorCurrentA'], {
    seed: SEED,
  });

  it('gives a start that is only known to be at least as high, and no run-up time', () => {
    const { measured } = measure(bounced);
    for (const position of ['forward', 'reverse'] as const) {
      const of = runStretch('full', position);
      expect(readingOf(measured, 'inrushPeakA', of)?.atLeast).toBe(true);
      expect(readingOf(measured, 'settleS', of)).toBeUndefined();
    }
  });

  it('leaves the start of a contact that closes at once as it was', () => {
    const { measured } = measure(asSeen(good, ['motorCurrentA'], { seed: SEED }));
    expect(readingOf(measured, 'inrushPeakA', runStretch('full', 'forward'))?.atLeast).toBeUndefined();
  });

  it('fails no healthy motor by itself for a start that differs from the other way', () => {
    const alone = witnessed('window-lift-alone');
    const judged = judge({ unit: alone, capture: bounced, expectation: expectationOf(alone, 40) });
    expect(judged.verdict, judged.sentence).not.toBe('fail');
  });
});
