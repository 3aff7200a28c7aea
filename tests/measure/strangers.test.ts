// Numbers of captures whose instrument did something to them, against a motor integrated by other means: what is told
// holds the truth within its ±, and what cannot be told is told as a bound, or not at all.

import { describe, expect, it } from 'vitest';
import type { Capture, Channel } from '../../host/capture/index.js';
import { fitMotor, measure } from '../../host/measure/index.js';
import { acCoupled, asSeen, type OutsideRun, outsideRun, type Scope } from '../references/outside-motor.js';

const SEED = 6501;
const BOTH: OutsideRun = {
  throws: [
    [0.3, 1.2, 1],
    [1.9, 2.8, -1],
  ],
  lasts: 3.4,
};
const ONE: OutsideRun = { throws: [[0.3, 1.2, 1]], lasts: 1.6 };
const ONE_CURRENT: readonly Channel[] = ['motorCurrentA'];
const ALL: readonly Channel[] = ['motorCurrentA', 'leadAVoltageV', 'leadBVoltageV', 'supplyVoltageV'];

const both = outsideRun(BOTH);
const one = outsideRun(ONE);
const current = (scope: Partial<Scope> = {}, run = both): Capture =>
  asSeen(run, ONE_CURRENT, { seed: SEED, ...scope });

/** Mean over whole ripples at the end of the forward throw, free of noise. */
const trueLevelA = ((): number => {
  const { timeS, channels } = both;
  const window = channels.motorCurrentA.filter((_, k) => timeS[k]! > 0.9 && timeS[k]! < 1.19);
  return window.reduce((sum, value) => sum + value / window.length, 0);
})();
const truePeakA = Math.max(...both.channels.motorCurrentA);

describe(`what the instrument did (noise ${SEED})`, () => {
  it.each([0.05, 0.5, 5])('an AC-coupled clamp of %f s is told, and no current is', (tauS) => {
    const { doubts, measured, notes } = measure(acCoupled(current({}, one), tauS));
    expect(doubts).toMatchObject([{ kind: 'ac-coupled' }]);
    expect(measured).toEqual({});
    const toldS = Number(/time constant of (\S+) s/.exec(notes[0] ?? '')?.[1]);
    expect(toldS).toBeGreaterThan(0.6 * tauS);
    expect(toldS).toBeLessThan(1.6 * tauS);
  });

  it('a motor that brakes, coasts, or is inched is not AC-coupled', () => {
    const inched: OutsideRun = {
      throws: [0, 1, 2].map((k) => [0.2 + 0.3 * k, 0.32 + 0.3 * k, 1] as const),
      lasts: 1.3,
    };
    for (const run of [ONE, { ...ONE, brakes: true }, { ...inched, brakes: true }, inched])
      expect(measure(current({}, outsideRun(run))).doubts).toBeUndefined();
  });

  it.each([0.15, 0.4, 1])(
    'hum of the mains of %d A leaves winding and inductance of the fit within their ±',
    (swingA) => {
      // At 0.15 A the winding read 0.737 ± 0.005 Ohm, at 1 A the inductance 2 mH, where hum was fitted with the motor.
      for (const phase of [0, 1.3]) {
        const errorA = (t: number): number => swingA * Math.sin(2 * Math.PI * 50.1 * t + phase);
        const { model, describes } = fitMotor(asSeen(both, ALL, { seed: SEED, errorA }));
        expect(describes).toBe('yes');
        const { resistanceOhm, inductanceH } = model;
        expect(Math.abs(resistanceOhm!.value - 0.72)).toBeLessThan(resistanceOhm!.expandedUncertainty);
        expect(Math.abs(inductanceH!.value - 0.0011)).toBeLessThan(inductanceH!.expandedUncertainty);
      }
    },
  );

  it("hum of the mains makes no throws of its own, and the ripple stays the motor's", () => {
    const own = measure(current()).measured.forwardRippleHz!.value;
    const hum = current({ errorA: (t) => 0.15 * Math.sin(2 * Math.PI * 50 * t) });
    const { segments, measured } = measure(hum);
    expect(segments.map(({ of }) => of.id)).toEqual(['rest', 'forward', 'rest2', 'reverse', 'rest3']);
    expect(Math.abs(measured.forwardRippleHz!.value - own)).toBeLessThan(0.5);
  });

  it.each([
    [50, 0.3],
    [50.1, 1.2],
    [60, 1.2],
  ])('hum at %d Hz of %d A leaves every number within its ±', (hz, amplitudeA) => {
    for (const phase of [0, 1, 2, 3, 4, 5]) {
      const { measured, segments, notes } = measure(
        current({ errorA: (t) => amplitudeA * Math.sin(2 * Math.PI * hz * t + phase) }),
      );
      expect(segments.map(({ of }) => of.id)).toEqual(['rest', 'forward', 'rest2', 'reverse', 'rest3']);
      expect(notes.join(' ')).toMatch(/the current swings (50|60) times a second by \S+ A/);
      for (const [key, truthA] of [
        ['forwardRunningCurrentA', trueLevelA],
        ['forwardInrushPeakA', truePeakA],
      ] as const) {
        const { value, expandedUncertainty } = measured[key]!;
        expect(Math.abs(value - truthA), `${key} ${phase}`).toBeLessThan(expandedUncertainty);
      }
    }
  });

  it("a charger's ripple, which flows only while it drives something, is left as it is", () => {
    const run = outsideRun({ ...BOTH, supplyV: (t) => 10 + 4 * Math.abs(Math.sin(2 * Math.PI * 50 * t)) });
    expect(measure(current({}, run)).notes.join(' ')).not.toMatch(/taken away/);
  });

  it('a zero that drifts is told, and stands in the ± of the running current', () => {
    const drifts = current({ errorA: (t) => (0.8 * t) / 3.4 });
    const { segments, measured, doubts } = measure(drifts);
    expect(segments.map(({ of }) => of.id)).toEqual(['rest', 'forward', 'rest2', 'reverse', 'rest3']);
    expect(doubts).toMatchObject([{ kind: 'zero-moved' }]);
    const { value, expandedUncertainty, budget } = measured.forwardRunningCurrentA!;
    expect(Math.abs(value - trueLevelA)).toBeLessThan(expandedUncertainty);
    expect(JSON.stringify(budget)).toContain('drift of the zero');
  });

  it('a zero that keeps still adds nothing', () => {
    const { budget } = measure(current()).measured.forwardRunningCurrentA!;
    expect(JSON.stringify(budget)).not.toContain('drift of the zero');
  });

  it('a chopper quicker than losses of a contact is told too', () => {
    const run = outsideRun({ ...ONE, rateHz: 20_000, isOn: (t) => (t * 2000) % 1 < 0.5 });
    const { doubts } = measure(asSeen(run, ALL, { seed: SEED }));
    expect(doubts).toMatchObject([{ kind: 'chopped' }]);
    expect(doubts?.[0]?.sentence).toMatch(/ (1998|1999|2000|2001|2002) times a second/);
  });

  it('throws of ten seconds, sampled twenty times a second, are throws', () => {
    const run = outsideRun({
      throws: [
        [2, 12, 1],
        [15, 25, -1],
      ],
      lasts: 28,
      rateHz: 1000,
    });
    const whole = current({}, run);
    const thin = (values: Float64Array): Float64Array => values.filter((_, k) => k % 50 === 7);
    const { doubts, segments } = measure({
      ...whole,
      timeS: thin(whole.timeS),
      position: whole.position.filter((_, k) => k % 50 === 7),
      channels: { motorCurrentA: thin(whole.channels.motorCurrentA!) },
      sampleRateHz: 20,
    });
    expect(doubts).toBeUndefined();
    expect(segments.map(({ of }) => of.id)).toEqual(['rest', 'forward', 'rest2', 'reverse', 'rest3']);
  });

  it('a chopper is told with its frequency', () => {
    const run = outsideRun({ ...ONE, isOn: (t) => (t * 300) % 1 < 0.6 });
    const { doubts } = measure(asSeen(run, ALL, { seed: SEED }));
    expect(doubts).toMatchObject([{ kind: 'chopped' }]);
    expect(doubts?.[0]?.sentence).toMatch(/ (299|300|301) times a second/);
  });
});

describe(`what cannot be told (noise ${SEED})`, () => {
  it('a start sampled ten or fifty times a second is at least what was read', () => {
    for (const by of [100, 500]) {
      const whole = current();
      const thin = (values: Float64Array): Float64Array => values.filter((_, k) => k % by === 7);
      const slow: Capture = {
        ...whole,
        timeS: thin(whole.timeS),
        position: whole.position.filter((_, k) => k % by === 7),
        channels: { motorCurrentA: thin(whole.channels.motorCurrentA!) },
        sampleRateHz: 5000 / by,
      };
      const { forwardInrushPeakA, inrushAsymmetryPercent, forwardFallTo37S } = measure(slow).measured;
      // Of ten samples a second hardly one falls into the start.
      if (forwardInrushPeakA || by === 100) expect(forwardInrushPeakA).toMatchObject({ atLeast: true });
      expect(forwardInrushPeakA?.value ?? 0).toBeLessThan(truePeakA + 0.1);
      expect(inrushAsymmetryPercent).toBeUndefined();
      expect(forwardFallTo37S).toBeUndefined();
    }
  });

  it('a top that only the current shows is at least so high, and nothing is timed by it', () => {
    const clipped = current({ errorA: (_t, trueA, k) => Math.min(0, 12 - trueA) + 0.02 * Math.sin(7.3 * k) });
    const { measured, notes } = measure(clipped);
    expect(measured.forwardInrushPeakA).toMatchObject({ atLeast: true });
    expect(measured.forwardInrushPeakA?.value).toBeCloseTo(12, 1);
    expect(measured.forwardFallTo37S).toBeUndefined();
    expect(notes.join(' ')).toContain('the limit of the supply, or the end of the instrument');
  });

  it('an ordinary rounded top is no flat top, with little noise or much, quick or slow', () => {
    const slow = outsideRun({ ...ONE, motor: { inertiaKgM2: 1.6e-4, inductanceH: 0.004 } });
    for (const run of [both, slow])
      for (const noiseA of [0.02, 0.3, 1])
        expect(measure(current({ noiseA }, run)).measured.forwardFlatTopA, `${noiseA}`).toBeUndefined();
  });

  it('mains ripple of a charger is no commutation, and no source has less than no resistance', () => {
    const run = outsideRun({ ...BOTH, supplyV: (t) => 10 + 4 * Math.abs(Math.sin(2 * Math.PI * 50 * t)) });
    const lone = measure(current({}, run));
    expect(lone.doubts).toMatchObject([{ kind: 'mains' }]);
    expect(lone.measured.forwardRippleHz).toBeUndefined();
    const { measured } = measure(asSeen(run, ALL, { seed: SEED }));
    const source = measured.forwardSourceResistanceOhm;
    expect((source?.value ?? 0) + (source?.expandedUncertainty ?? 0)).toBeGreaterThanOrEqual(0);
  });

  it('single ripples of a turn are not told behind counts as large as they are', () => {
    const small = outsideRun({ ...BOTH, motor: { ripple: 0.02 } });
    const behind = (countA: number): Capture => current({ countA, noiseA: 0.01 }, small);
    const accuracy = { rig: undefined, ripplesPerTurn: 8 };
    // A count of 78 mA as the rig's, 12 mA as a finer one.
    const rig = (perCount: number) => ({
      adcBits: 10,
      scales: {
        motorCurrentA: { atZeroCount: -40, perCount, gainUncertaintyPercent: 0.5, offsetUncertainty: 0.03 },
      },
    });
    const told = (countA: number): unknown =>
      measure(behind(countA), { ...accuracy, rig: rig(countA) as never }).measured
        .forwardRipplesMissingPerTurn?.value;
    expect(told(0.078125)).toBeUndefined();
    expect(told(0.0125)).toBe(0);
  });
});

describe('a capacitor across the motor', () => {
  it('draws a spike of its own, and leaves start and inductance as they are', () => {
    const spiked = (capture: Capture): Capture => {
      const values = capture.channels.motorCurrentA!.slice();
      for (const [at, sign] of [
        [1500, 1],
        [9500, -1],
      ] as const) {
        values[at] = values[at]! + 38 * sign;
        values[at + 1] = values[at + 1]! + 3 * sign;
      }
      return { ...capture, channels: { ...capture.channels, motorCurrentA: values } };
    };
    const plain = asSeen(both, ALL, { seed: SEED });
    const { measured } = measure(spiked(plain));
    expect(measured.forwardSpikeA?.value).toBeGreaterThan(35);
    expect(measured.forwardInrushPeakA?.value).toBeCloseTo(truePeakA, 0);
    const [clean, dirty] = [plain, spiked(plain)].map((capture) => fitMotor(capture).model.inductanceH!);
    expect(Math.abs(clean!.value - 0.0011)).toBeLessThan(clean!.expandedUncertainty);
    // Without the samples under the spike less is known of the rise; left in, they moved it by four times its ±.
    expect(Math.abs(dirty!.value - clean!.value)).toBeLessThan(dirty!.expandedUncertainty / 2);
  });
});
