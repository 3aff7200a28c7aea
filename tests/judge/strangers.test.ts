// A healthy motor on other people's instruments: nothing of it was made by this program's solver, and whatever clamp,
// supply or load did, the unit is passed or left open, and accused of nothing.

import { describe, expect, it } from 'vitest';
import type { Capture, Channel } from '../../host/capture/index.js';
import { asWitnessed, judge, judgementJson } from '../../host/judge/index.js';
import { loadUnit, type ResolvedUnit } from '../../host/profile/index.js';
import { knownUnit } from '../profile/known-unit.js';
import { acCoupled, asSeen, type OutsideRun, outsideRun, type Scope } from '../references/outside-motor.js';
import { expectationOf } from './known-expectations.js';

const SEED = 6401;
const GENERIC = loadUnit('window-lift-switch');
const KNOWN = knownUnit('window-lift-switch');

const CURRENT: readonly Channel[] = ['motorCurrentA'];
const LEADS: readonly Channel[] = [...CURRENT, 'leadAVoltageV', 'leadBVoltageV'];
const ALL: readonly Channel[] = [...LEADS, 'supplyVoltageV'];

const BOTH: OutsideRun = {
  throws: [
    [0.3, 1.2, 1],
    [1.9, 2.8, -1],
  ],
  lasts: 3.4,
};
const ONE: OutsideRun = { throws: [[0.3, 1.2, 1]], lasts: 1.6 };
const good = outsideRun(BOTH);

const seen = (run: OutsideRun, channels: readonly Channel[], scope: Partial<Scope> = {}): Capture =>
  asSeen(run === BOTH ? good : outsideRun(run), channels, { seed: SEED, ...scope });

function told(unit: ResolvedUnit, capture: Capture) {
  return judge({ unit, capture, expectation: expectationOf(unit, 40) });
}

/** Says nothing against the unit. */
const OF_NOBODY = ['healthy', 'another-motor', 'not-in-list', 'supply-sags'];

/** Causes named before those, and any that is held likelier than not. */
function accused({ findings }: ReturnType<typeof told>): string[] {
  const causes = findings.flatMap((finding) => finding.causes ?? []);
  return [...findings.slice(0, 1), ...causes.filter(({ likelihood }) => likelihood >= 0.5)].flatMap(
    ({ id, likelihood }) => (OF_NOBODY.includes(id) ? [] : [`${id} ${likelihood.toFixed(2)}`]),
  );
}

const SHAPES: Record<string, () => Capture> = {
  'one current': () => seen(BOTH, CURRENT),
  'one current in steps of 0.5 A': () => seen(BOTH, CURRENT, { countA: 0.5 }),
  'one current under hum of the mains': () =>
    seen(BOTH, CURRENT, { errorA: (t) => 0.15 * Math.sin(2 * Math.PI * 50 * t) }),
  'one current of a clamp whose zero is off by 0.4 A': () => seen(BOTH, CURRENT, { errorA: () => 0.4 }),
  'one current of a clamp whose zero drifts by 0.8 A': () =>
    seen(BOTH, CURRENT, { errorA: (t) => (0.8 * t) / 3.4 }),
  'one current, AC-coupled, 0.05 s': () => acCoupled(seen(ONE, CURRENT), 0.05),
  'one current, AC-coupled, 0.5 s': () => acCoupled(seen(ONE, CURRENT), 0.5),
  'one current, AC-coupled, 5 s': () => acCoupled(seen(BOTH, CURRENT), 5),
  'one current of a load that comes and goes twice a second': () =>
    seen({ ...ONE, loadNm: (t) => 0.04 * Math.sin(4 * Math.PI * t) }, CURRENT),
  'one current of a logger, ten a second': () => slower(seen(BOTH, CURRENT), 500),
  'one current of a logger, fifty a second': () => slower(seen(BOTH, CURRENT), 100),
  'one current from a charger that ripples': () =>
    seen({ ...BOTH, supplyV: (t) => 10 + 4 * Math.abs(Math.sin(2 * Math.PI * 50 * t)) }, CURRENT),
  'current and leads while the supply, not sampled, dips': () =>
    seen({ ...BOTH, supplyV: (t) => (t > 0.8 && t < 1 ? 9.5 : 13) }, LEADS),
  'current, leads and supply while the supply dips': () =>
    seen({ ...BOTH, supplyV: (t) => (t > 0.8 && t < 1 ? 9.5 : 13) }, ALL),
  // A tired battery with thin leads has 0.1 to 0.5 Ohm (common practice, no source).
  'one current from a supply of 0.3 Ohm': () => seen({ ...BOTH, sourceOhm: 0.3 }, CURRENT),
  'current and leads on a supply of 0.4 Ohm, not sampled': () => seen({ ...BOTH, sourceOhm: 0.4 }, LEADS),
  // What a bench feeds from is seldom what the profile says: a flat battery, a charger (common practice, no source).
  'current and leads on a battery of 11.2 V, not sampled': () =>
    seen({ ...BOTH, supplyV: () => 11.2 }, LEADS),
  'current and leads on a charger of 14.4 V, not sampled': () =>
    seen({ ...BOTH, supplyV: () => 14.4 }, LEADS),
  'one current on a battery of 11.2 V': () => seen({ ...BOTH, supplyV: () => 11.2 }, CURRENT),
  'current and leads while the supply, not sampled, rises slowly': () =>
    seen({ ...BOTH, supplyV: (t) => 11.5 + (2 * t) / 3.4 }, LEADS),
  ...Object.fromEntries(
    [100, 300, 1000, 4000, 18_000].map((hz) => [
      `one current behind a chopper of ${hz} Hz`,
      () => seen({ ...ONE, isOn: (t) => (t * hz) % 1 < 0.6 }, CURRENT),
    ]),
  ),
  'current, leads and supply behind a chopper of 300 Hz': () =>
    seen({ ...ONE, isOn: (t) => (t * 300) % 1 < 0.6 }, ALL),
};

/** Every `by`th sample, as a logger that does not average takes it. */
function slower(capture: Capture, by: number): Capture {
  const thin = <T>(values: ArrayLike<T>): T[] => Array.from(values).filter((_, k) => k % by === 0);
  return {
    ...capture,
    timeS: Float64Array.from(thin(capture.timeS)),
    position: thin(capture.position),
    channels: { motorCurrentA: Float64Array.from(thin(capture.channels.motorCurrentA!)) },
    sampleRateHz: capture.sampleRateHz / by,
  };
}

describe.each([
  ['generic limits', GENERIC],
  ['known limits', KNOWN],
] as const)(`a healthy motor on a stranger's instrument, %s (noise ${SEED})`, (_words, unit) => {
  it.each(Object.entries(SHAPES))('is not failed and accused of nothing: %s', (shape, made) => {
    const judged = told(unit, made());
    // One current alone never passes a harness.
    if (shape.startsWith('one current')) expect(judged.verdict, judged.sentence).toBe('cannot-tell');
    else expect(judged.verdict, judged.sentence).not.toBe('fail');
    expect(accused(judged), judged.sentence).toEqual([]);
  });
});

describe('a shorted motor beyond the end of its clamp', () => {
  const SHORTED = { resistanceOhm: 0.03, inductanceH: 5e-5, backEmfVsPerRad: 0, torqueNmPerA: 0, brushV: 0 };
  const short = outsideRun({ ...BOTH, motor: SHORTED });
  const cut = (trueA: number): number => Math.max(-40, Math.min(40, trueA));

  it.each([
    ['noise before it', 0, (k: number): number => 0.05 * Math.sin(7.3 * k)],
    ['noise behind it', 0.1, (): number => 0],
  ] as const)('is named, %s', (_words, noiseA, before) => {
    const capture = asSeen(short, CURRENT, {
      seed: SEED,
      noiseA,
      errorA: (_t, trueA, k) => cut(trueA + before(k)) - trueA,
    });
    const unit = asWitnessed(GENERIC, capture);
    const judged = told(unit, capture);
    expect(judged.findings[0], judged.sentence).toMatchObject({ id: 'motor-shorted' });
  });
});

describe('a rotor that is held, by its current alone', () => {
  const held = { loadNm: (): number => 5 };
  it.each([
    ['generic limits', GENERIC, 0.65, 0.04],
    ['generic limits', GENERIC, 0.72, 0.15],
    ['generic limits', GENERIC, 0.85, 0.04],
    ['known limits', KNOWN, 0.72, 0.04],
    ['known limits', KNOWN, 0.72, 0.15],
  ] as const)(
    'is the first cause, %s, winding and supply of %d and %d Ohm',
    (_words, of, resistanceOhm, sourceOhm) => {
      for (const run of [BOTH, ONE]) {
        const capture = seen({ ...run, ...held, motor: { resistanceOhm }, sourceOhm }, CURRENT);
        const unit = asWitnessed(of, capture);
        const judged = judge({ unit, capture, expectation: expectationOf(unit, 60) });
        expect(judged.findings[0], judged.sentence).toMatchObject({ id: 'motor-rotor-locked' });
        // It was read to stand: what has it turn is nobody's cause.
        const causes = judged.findings.flatMap((finding) => finding.causes ?? []);
        expect(causes.map(({ id }) => id)).not.toContain('another-motor');
      }
    },
  );
});

describe('voltages that no supply of the profile gives', () => {
  const tenth = (capture: Capture): Capture => ({
    ...capture,
    channels: Object.fromEntries(
      Object.entries(capture.channels).map(([name, values]) => [
        name,
        name.endsWith('V') ? values.map((value) => value / 10) : values,
      ]),
    ),
  });
  it.each([
    ['of 24 V', () => seen({ ...BOTH, supplyV: () => 26 }, LEADS), /fits a supply of about twice/],
    ['through probes of ten to one', () => tenth(seen(BOTH, LEADS)), /the probe's factor of ten is not in/],
    ['all of them through such', () => tenth(seen(BOTH, ALL)), /the probe's factor of ten is not in/],
  ])('are told as that, and nobody is accused: %s', (_words, made, sentence) => {
    const judged = told(GENERIC, made());
    expect(judged.verdict).toBe('cannot-tell');
    expect(judged.sentence).toMatch(sentence);
    expect(judged.findings).toEqual([]);
  });

  it('are not told of a motor behind a joint that leaves it a tenth of its supply', () => {
    const { sentence } = told(GENERIC, seen({ ...BOTH, feedOhm: 8 }, LEADS));
    expect(sentence).not.toMatch(/factor of ten/);
  });
});

describe('the feed current alone', () => {
  it('tells no direction: no sentence speaks of forward, none says that reverse was not made', () => {
    const { channels, ...capture } = seen(BOTH, CURRENT);
    const feedCurrentA = channels.motorCurrentA!.map(Math.abs);
    const judged = told(GENERIC, { ...capture, channels: { feedCurrentA } });
    expect(judged.verdict, judged.sentence).toBe('cannot-tell');
    expect(judgementJson(judged).directionNotTold).toBe(true);
    const sentences = judged.checks.map(({ sentence }) => sentence);
    expect(sentences.filter((words) => /^Forward|\bforward:|not made/.test(words))).toEqual([]);
    expect(sentences).toContainEqual(expect.stringMatching(/^Throw 1 \(direction not told\): inrush/));
  });

  it('is not asked for it where the sign of the motor current tells it', () => {
    expect(judgementJson(told(GENERIC, seen(BOTH, CURRENT))).directionNotTold).toBeUndefined();
  });
});
