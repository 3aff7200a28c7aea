// Whether a lone current tells that a controller pulses the motor. Against a motor integrated by other means
// (references/outside-motor.ts) behind an ideal chopper with a free-wheeling diode; choppers of motors run at 0.1 to 20 kHz
// (common practice, no source).

import { describe, expect, it } from 'vitest';
import { type MeasureResult, measure } from '../../host/measure/index.js';
import { asSeen, type OutsideRun, outsideRun, type Solved } from '../references/outside-motor.js';

const SEED = 9203;
const ONE: OutsideRun = { throws: [[0.3, 1.2, 1]], lasts: 1.6 };
/** Of the textbook motor in references/: a vent's, a slow one, one with a heavy ripple, one that bumps three times a turn. */
const MOTORS: Record<string, NonNullable<OutsideRun['motor']>> = {
  window: {},
  vent: {
    ...{ resistanceOhm: 2.2, inductanceH: 0.0033, backEmfVsPerRad: 0.0325, torqueNmPerA: 0.0315 },
    ...{ inertiaKgM2: 1.1e-5, viscousNms: 5.1e-5, frictionNm: 0.016 },
  },
  slow: { inertiaKgM2: 1.6e-4, inductanceH: 0.004 },
  rippled: { ripple: 0.12, segments: 12 },
  bumpy: { ripple: 0.3, segments: 3 },
};

/** Every `by`th sample, as a scope without a filter takes it. */
const slower = ({ timeS, channels }: Solved, by: number): Solved => {
  const thin = (values: Float64Array): Float64Array => values.filter((_, k) => k % by === 0);
  return {
    timeS: thin(timeS),
    channels: Object.fromEntries(
      Object.entries(channels).map(([name, values]) => [name, thin(values)]),
    ) as Solved['channels'],
  };
};
const seen = (run: Solved, noiseA = 0.02): MeasureResult =>
  measure(asSeen(run, ['motorCurrentA'], { seed: SEED, noiseA }));
const doubtsOf = ({ doubts = [] }: MeasureResult): string[] => doubts.map(({ sentence }) => sentence);

describe.each(Object.entries(MOTORS))('a lone current of the %s motor', (_words, motor) => {
  it.each([
    [100, 0.6],
    [300, 0.4],
    [300, 0.8],
    [1000, 0.5],
    [4000, 0.8],
  ])('pulses %d times a second where a chopper does, on for %d of it', (hz, duty) => {
    const run = outsideRun({ ...ONE, motor, rateHz: 20_000, isOn: (t) => (t * hz) % 1 < duty });
    const told = doubtsOf(seen(run));
    // In step with rectified mains either reading is open, and both are told.
    expect(told[0]).toMatch(/a controller pulses it, or a charger feeds it|as the mains do/);
    if (hz > 400) expect(told[0]).toContain(`pulses ${hz} times a second`);
  });

  it('pulses as often as its samples show, where they are too slow for the chopper', () => {
    const run = outsideRun({ ...ONE, motor, rateHz: 20_000, isOn: (t) => (t * 4000) % 1 < 0.5 });
    // 4000 a second, sampled 5000 times: 1000 (folding about the rate).
    expect(doubtsOf(seen(slower(run, 4)))[0]).toContain('pulses 1000 times a second as it was sampled');
  });

  it.each([0.005, 0.05])('does not where only its commutator ripples, noise of %d A', (noiseA) => {
    for (const loadNm of [undefined, (t: number) => 0.01 * Math.sin(2 * Math.PI * 37 * t)]) {
      const run = outsideRun({ ...ONE, motor, ...(loadNm ? { loadNm } : {}) });
      expect(doubtsOf(seen(run, noiseA))).toEqual([]);
    }
  });
});
