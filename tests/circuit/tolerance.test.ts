// Tolerance draws: the generator, the spread that profiles ask for, and bands that repeat.

import { describe, expect, it } from 'vitest';
import {
  BAND_SOLVER,
  Draws,
  drawInput,
  nominalInput,
  seededRandom,
  simulatePlan,
  withoutRipple,
} from '../../host/circuit/index.js';
import type { ResolvedUnit } from '../../host/profile/index.js';
import { knownUnit } from '../profile/known-unit.js';

const SEED = 41;
const PAIR = knownUnit('seat-slide-relays');
const SWITCH = knownUnit('window-lift-switch');

const shortened = (unit: ResolvedUnit): ResolvedUnit => ({
  ...unit,
  plan: {
    ...unit.plan,
    steps: [
      { position: 'rest', durationS: 0.05, feed: 'full' },
      { position: 'forward', durationS: 0.15, feed: 'full' },
      { position: 'rest', durationS: 0.05, feed: 'full' },
    ],
  },
});

describe(`seeded random numbers, seed ${SEED}`, () => {
  it('repeats with the seed and differs with another', () => {
    const first = Array.from({ length: 5 }, seededRandom(SEED).uniform);
    expect(Array.from({ length: 5 }, seededRandom(SEED).uniform)).toEqual(first);
    expect(Array.from({ length: 5 }, seededRandom(SEED + 1).uniform)).not.toEqual(first);
  });

  it('steps as sfc32 does: state (a, b, c, counter), PractRand, recomputed here with big integers', () => {
    const mask = (1n << 32n) - 1n;
    let [a, b, c, counter] = [0n, BigInt(SEED), 0n, 1n];
    const next = (): bigint => {
      const sum = (a + b + counter) & mask;
      counter = (counter + 1n) & mask;
      a = b ^ (b >> 9n);
      b = (c + ((c << 3n) & mask)) & mask;
      c = (((c << 21n) & mask) | (c >> 11n)) & mask;
      c = (c + sum) & mask;
      return sum;
    };
    for (let i = 0; i < 15; i++) next();
    const { uniform } = seededRandom(SEED);
    for (let i = 0; i < 50; i++) expect(uniform()).toBe(Number(next()) / 2 ** 32);
  });

  it('has mean 0, deviation 1 and 4.55 % beyond two deviations in 100 000 normal deviates', () => {
    const { normal } = seededRandom(SEED);
    const values = Array.from({ length: 100_000 }, normal);
    const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
    const variance = values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / values.length;
    const beyond = values.filter((value) => Math.abs(value) > 2).length / values.length;
    // Four standard errors each: 0.0032, 0.0045 and 0.00066.
    expect(Math.abs(mean)).toBeLessThan(0.013);
    expect(Math.abs(variance - 1)).toBeLessThan(0.018);
    expect(Math.abs(beyond - 0.0455)).toBeLessThan(0.0027);
  });

  it.each([1.5, Number.NaN, 2 ** 60])('refuses the seed %d', (seed) => {
    expect(() => seededRandom(seed)).toThrow(RangeError);
  });
});

describe(`draws, seed ${SEED}`, () => {
  it('spreads a toleranced value with the tolerance as two deviations, cut off at three', () => {
    const random = seededRandom(SEED);
    const asked = PAIR.motor.resistanceOhm;
    if (typeof asked === 'number') throw new Error('the profile should have a tolerance here');
    const drawn = Array.from(
      { length: 4000 },
      () => drawInput(PAIR, random).motor.resistanceOhm / asked.nominal - 1,
    );
    const deviation = Math.sqrt(drawn.reduce((sum, value) => sum + value * value, 0) / drawn.length);
    // A normal cut off at three deviations keeps 0.9866 of its deviation (closed form).
    expect(deviation / (asked.tolerancePercent / 200)).toBeCloseTo(0.987, 1);
    expect(Math.max(...drawn.map(Math.abs))).toBeLessThanOrEqual((3 * asked.tolerancePercent) / 200 + 1e-12);
  });

  it('draws both motor constants from one flux and each relay of a pair apart', () => {
    const random = seededRandom(SEED);
    const nominal = nominalInput(PAIR).motor;
    for (let n = 0; n < 20; n++) {
      const { motor, relays } = drawInput(PAIR, random);
      const ke = motor.backEmfVsPerRad / nominal.backEmfVsPerRad - 1;
      const kt = motor.torqueNmPerA / nominal.torqueNmPerA - 1;
      expect(Math.sign(ke)).toBe(Math.sign(kt));
      expect(relays!.k1!.coilResistanceOhm).not.toBe(relays!.k2!.coilResistanceOhm);
    }
  });

  it('takes what has no tolerance as it stands', () => {
    const { rig } = drawInput(PAIR, seededRandom(SEED));
    expect(rig.leadLoadOhm).toBe(PAIR.rig.leadLoadOhm);
    expect(rig.supply.sourceResistanceOhm).toBe(PAIR.rig.supply.sourceResistanceOhm);
  });
});

describe(`band of the model, seed ${SEED}`, () => {
  const unit = shortened(SWITCH);
  const options = { draws: 12, seed: SEED };
  const band = new Draws(unit, options).finish();
  const [lower, upper] = [band.lower.motorCurrentA!, band.upper.motorCurrentA!];

  it('is the same to the last bit with the same seed, and another with another', () => {
    expect(new Draws(unit, options).finish()).toEqual(band);
    expect(new Draws(unit, { ...options, seed: SEED + 1 }).finish().upper).not.toEqual(band.upper);
  });

  it('is the same whoever does which piece, in whatever order, and with shares that went through a thread', () => {
    const [here, there] = [new Draws(unit, options), new Draws(unit, options)];
    for (let draw = here.count - 1; draw >= 0; draw--) (draw % 3 === 0 ? here : there).do(draw);
    expect(here.isComplete).toBe(false);
    here.add(structuredClone(there.share()));
    expect(here.isComplete).toBe(true);
    expect(here.finish()).toEqual(band);
  });

  it('is exactly the least and largest of its draws in every cell, inrush peaks included', () => {
    const random = seededRandom(SEED);
    const captures = Array.from({ length: options.draws }, () =>
      simulatePlan(withoutRipple(drawInput(unit, random)), unit.plan, {
        sampleRateHz: 2500,
        solver: BAND_SOLVER,
      }),
    );
    const perCell = Math.round((band.timeS[1]! - band.timeS[0]!) * 2500);
    expect(perCell).toBe(5);
    band.timeS.forEach((_, cell) => {
      const values = captures.flatMap(({ channels }) => [
        ...channels.motorCurrentA!.subarray(cell * perCell, (cell + 1) * perCell),
      ]);
      expect([lower[cell], upper[cell]]).toEqual([Math.min(...values), Math.max(...values)]);
    });
  });

  it('says NaN, not infinity, for a cell that no sample falls into', () => {
    const coarse = new Draws(unit, { ...options, sampleRateHz: 250 }).finish();
    const told = [...coarse.upper.motorCurrentA!];
    expect(told.filter(Number.isNaN).length).toBeGreaterThan(told.length / 3);
    expect(told.every((value) => Number.isNaN(value) || Number.isFinite(value))).toBe(true);
  });

  it("is computed to 0.1 % of the current's peak, RMS, of the solver at its own tolerance", () => {
    const nominal = nominalInput(unit);
    const exact = simulatePlan(nominal, unit.plan).channels.motorCurrentA!;
    const drawn = simulatePlan(nominal, unit.plan, { solver: BAND_SOLVER }).channels.motorCurrentA!;
    const peakA = exact.reduce((most, value) => Math.max(most, Math.abs(value)), 0);
    const squares = exact.reduce((sum, value, i) => sum + (value - drawn[i]!) ** 2, 0);
    expect(Math.sqrt(squares / exact.length)).toBeLessThan(1e-3 * peakA);
    expect(squares).toBeGreaterThan(0);
  });

  it('is about as wide as the tolerances: running current within 22 % of friction torque and 8 % of flux', () => {
    const atS = 0.2 + 0.05 + 0.14;
    const { motorCurrentA } = simulatePlan(nominalInput(unit), unit.plan).channels;
    const part = upper[Math.round(atS / 0.002)]! / motorCurrentA![Math.round(atS * 5000)]! - 1;
    expect(part).toBeGreaterThan(0.03);
    expect(part).toBeLessThan(0.35);
  });
});

describe('plan on the model', () => {
  it('starts with 0.2 s of everything off, then follows the plan with its positions', () => {
    const unit = shortened(PAIR);
    const { timeS, position, channels, sampleRateHz } = simulatePlan(nominalInput(unit), unit.plan);
    expect(sampleRateHz).toBe(5000);
    expect(timeS).toHaveLength(0.45 * 5000 + 1);
    const changes = position.flatMap((thrown, i) => (i > 0 && thrown !== position[i - 1] ? [timeS[i]!] : []));
    expect(changes.map((at) => at.toFixed(4))).toEqual(['0.2500', '0.4000']);
    expect(Math.max(...channels.feedCurrentA!.subarray(0, 1000).map(Math.abs))).toBeLessThan(1e-3);
    expect(channels.motorCurrentA![Math.round(0.39 * 5000)]!).toBeGreaterThan(1);
  });

  it('feeds about 1 A through the limited path into a held rotor', () => {
    const unit = shortened(PAIR);
    const steps = [{ position: 'forward' as const, durationS: 0.2, feed: 'limited' as const }];
    const { channels } = simulatePlan({ ...nominalInput(unit), rotorHeld: true }, { steps });
    const { voltageV, sourceResistanceOhm } = nominalInput(unit).supply;
    expect(channels.motorCurrentA!.at(-1)!).toBeGreaterThan(0.9);
    expect(channels.motorCurrentA!.at(-1)!).toBeLessThan(voltageV / (12 + sourceResistanceOhm));
  });

  it('refuses a station that the style does not have', () => {
    expect(() => simulatePlan(nominalInput(PAIR), PAIR.plan, { station: 'attic' })).toThrow(
      /no station attic/,
    );
  });
});
