// Limits of a relay by itself. Copper: 0.393 % a kelvin from 20 C (IEC 60028). Published sheets: 10 ms and 7 ms, 8 V, 50 mV
// (dtsheet.com/doc/683074), 1.2 V and 10 % of the coil (dtsheet.com/doc/683071). The rest is common practice, no source.

import { describe, expect, it } from 'vitest';
import { COIL_REFERENCE_C, copperFactor } from '../../../host/circuit/index.js';
import { limited } from '../../../host/judge/relay/context.js';
import { relayLimits } from '../../../host/judge/relay/limits.js';
import type { RelayProfile, ResolvedUnit } from '../../../host/profile/index.js';
import { ALONE, relayOf } from './handmade.js';

/** 0 to 40 C. */
const [COLD, HOT] = [1 - 0.00393 * 20, 1 + 0.00393 * 20];
const relay = (more: Partial<RelayProfile> = {}): RelayProfile => ({ ...relayOf(), ...more });
const limits = (more: Partial<RelayProfile> = {}, supplyV?: number, unit = ALONE) =>
  relayLimits(unit, relay(more), supplyV);
const NONE = { kind: 'none' } as const;

describe('copper', () => {
  // 7.2 V of pull-in at 20 C are 9.04 V at 85 C: published pair of a plug-in relay.
  it('has 25.5 % more resistance at 85 C than at 20 C', () => {
    expect(7.2 * copperFactor(COIL_REFERENCE_C, 85)).toBeCloseTo(9.04, 2);
    expect(copperFactor(COIL_REFERENCE_C, 20)).toBe(1);
    expect(copperFactor(COIL_REFERENCE_C, 0)).toBeCloseTo(0.9214, 9);
  });
});

describe('the coil', () => {
  const exact = (ohm: number, suppression: RelayProfile['suppression'] = NONE) =>
    limits({ coilResistanceOhm: { nominal: ohm, tolerancePercent: 0 }, suppression }).coilOhm;

  it('has its winding with its tolerance, cold to hot', () => {
    const { lower, upper, origin } = limits({
      coilResistanceOhm: { nominal: 85, tolerancePercent: 5.8 },
      suppression: NONE,
    }).coilOhm;
    expect(lower).toBeCloseTo(85 * 0.942 * COLD, 9);
    expect(upper).toBeCloseTo(85 * 1.058 * HOT, 9);
    expect(origin).toBe('published');
  });

  it('has 10 % where the profile states no tolerance', () => {
    const { lower, upper } = limits({ coilResistanceOhm: 100, suppression: NONE }).coilOhm;
    expect(lower).toBeCloseTo(90 * COLD, 9);
    expect(upper).toBeCloseTo(110 * HOT, 9);
  });

  // 80 Ohm beside 680 Ohm read as 71.6 Ohm: published sheet of a micro relay (fooclesmod.com/?p=22940).
  it('has the resistor across it in parallel', () => {
    const { lower, upper } = exact(80, { kind: 'resistor', resistanceOhm: 680 });
    expect((lower ?? 0) / COLD).toBeCloseTo(71.6, 1);
    expect((upper ?? 0) / HOT).toBeCloseTo(71.6, 1);
  });

  it('is not shunted by a diode', () => {
    const { lower } = exact(80, { kind: 'diode', anodeAt: '85', forwardVoltageV: 0.7 });
    expect(lower).toBeCloseTo(80 * COLD, 9);
  });

  it('has what the profile says of it, moved with the temperature all the same', () => {
    const own = { coilResistanceOhm: { least: 60, most: 70 } };
    expect(limits({ limits: own, origin: 'maker' }).coilOhm).toEqual({
      lower: 60 * COLD,
      upper: 70 * HOT,
      origin: 'maker',
    });
  });

  it('follows the thermometer of the unit', () => {
    const unit: ResolvedUnit = {
      ...ALONE,
      unit: { ...ALONE.unit, temperatureC: { nominal: 70, plusMinus: 15 } },
    };
    const { lower, upper } = limits({ coilResistanceOhm: 100, suppression: NONE }, undefined, unit).coilOhm;
    expect(lower).toBeCloseTo(90 * (1 + 0.00393 * 35), 9);
    expect(upper).toBeCloseTo(110 * (1 + 0.00393 * 65), 9);
  });
});

describe('times', () => {
  // All of 85 Ohm, 0.3 H (1.4 times that closed), pull-in 7 V, drop-out 2.6 V.
  const USUAL: Partial<RelayProfile> = {
    coilResistanceOhm: 85,
    coilInductanceH: 0.3,
    closedInductanceRatio: 1.4,
    pullInVoltageV: 7,
    dropOutVoltageV: 2.6,
    suppression: NONE,
  };

  it('to operate are 10 ms at the most, as published', () => {
    expect(limits(USUAL).operateS).toEqual({ upper: 0.01, origin: 'published' });
    expect(limits(USUAL, 14).operateS.upper).toBe(0.01);
  });

  it('to operate are longer by the slower rise of the current on less supply, hot', () => {
    // By hand: L/R ln(1 / (1 - 7/12)) = 3.0898 ms; at 10 V and 40 C L/(1.0786 R) ln(1 / (1 - 0.7550)) = 4.6028 ms.
    expect(limits(USUAL, 10).operateS.upper).toBeCloseTo(0.01 + 0.004603 - 0.00309, 5);
    // Of the profile's own limit, too.
    expect(limits({ ...USUAL, limits: { operateMostS: 0.005 }, origin: 'maker' }, 10).operateS).toEqual({
      upper: expect.closeTo(0.005 + 0.004603 - 0.00309, 5),
      origin: 'maker',
    });
  });

  it('to operate on too little supply are those at 97 % of the way to it', () => {
    // By hand: L/(1.0786 R) ln(1 / 0.03) = 11.474 ms, less 3.0898 ms.
    expect(limits(USUAL, 5).operateS.upper).toBeCloseTo(0.01 + 0.011474 - 0.00309, 5);
  });

  it('to release are 7 ms and what the rig’s clamp of 60 V adds', () => {
    // By hand: 1.4 L/R ln((12 + 48) / (2.6 + 48)) = 0.842 ms.
    const { upper, origin } = limits(USUAL, 12).releaseS;
    expect(upper).toBeCloseTo(0.007 + 0.000842, 6);
    expect(origin).toBe('published');
    // Of the nominal 12 V where the supply is not known.
    expect(limits(USUAL).releaseS.upper).toBeCloseTo(0.007842, 6);
    // By hand at 14 V: ln((14 + 46) / (2.6 + 46)) = 0.2107.
    expect(limits(USUAL, 14).releaseS.upper).toBeCloseTo(0.007 + 0.001041, 6);
  });

  it('to release are longer with a resistor that holds the coil below that clamp', () => {
    // By hand: 100 Ohm at 141 mA are 14.12 V; ln(26.12 / 16.72) = 0.4462, 2.205 ms.
    const suppression = { kind: 'resistor', resistanceOhm: 100 } as const;
    expect(limits({ ...USUAL, suppression }, 12).releaseS.upper).toBeCloseTo(0.007 + 0.002205, 5);
    // 680 Ohm would take 96 V: the clamp is lower.
    const weak = { kind: 'resistor', resistanceOhm: 680 } as const;
    expect(limits({ ...USUAL, suppression: weak }, 12).releaseS.upper).toBeCloseTo(0.007842, 6);
  });

  it('to release are no shorter on a supply below drop-out', () => {
    expect(limits(USUAL, 2).releaseS.upper).toBe(0.007);
  });

  it('to release are 20 ms with a diode, whatever the clamp', () => {
    const suppression = { kind: 'diode', anodeAt: '85', forwardVoltageV: 0.7 } as const;
    expect(limits({ ...USUAL, suppression }, 12).releaseS).toEqual({ upper: 0.02, origin: 'generic' });
  });

  it('to release are what the profile says, and what the clamp adds', () => {
    const own: Partial<RelayProfile> = { ...USUAL, limits: { releaseMostS: 0.004 }, origin: 'maker' };
    expect(limits(own, 12).releaseS).toEqual({ upper: expect.closeTo(0.004842, 6), origin: 'maker' });
    const suppression = { kind: 'diode', anodeAt: '85', forwardVoltageV: 0.7 } as const;
    expect(limits({ ...own, suppression }, 12).releaseS).toEqual({ upper: 0.004, origin: 'maker' });
  });
});

describe('contacts, pull-in and drop-out', () => {
  it('are held to published figures and common practice', () => {
    const { bounceS, gapS, dropAt10AV, dropAsNewV, pullInV, dropOutV } = limits();
    expect(bounceS).toEqual({ upper: 0.003, origin: 'generic' });
    expect(gapS).toEqual({ lower: 0.0003, origin: 'generic' });
    expect(dropAt10AV).toEqual({ upper: 0.1, origin: 'generic' });
    expect(dropAsNewV).toEqual({ upper: 0.05, origin: 'published' });
    expect(pullInV).toEqual({ upper: expect.closeTo(8 * HOT, 9), origin: 'published' });
    expect(dropOutV).toEqual({ lower: expect.closeTo(1.2 * COLD, 9), origin: 'published' });
  });

  it('take twice the volts of a 24 V relay', () => {
    const { pullInV, dropOutV } = limits({ nominalVoltageV: 24 });
    expect(pullInV.upper).toBeCloseTo(16 * HOT, 9);
    expect(dropOutV.lower).toBeCloseTo(2.4 * COLD, 9);
  });

  it('are held to the profile’s own figures, trusted as far as the profile', () => {
    const own = limits({
      origin: 'learned',
      limits: {
        bounceMostS: 0.002,
        transferGapLeastS: 0.0005,
        contactDropAt10AMostV: 0.03,
        pullInMostV: 7.5,
        dropOutLeastV: 1.5,
      },
    });
    expect(own.bounceS).toEqual({ upper: 0.002, origin: 'learned' });
    expect(own.gapS).toEqual({ lower: 0.0005, origin: 'learned' });
    expect(own.dropAt10AV).toEqual({ upper: 0.03, origin: 'learned' });
    expect(own.dropAsNewV).toEqual({ upper: 0.05, origin: 'published' });
    expect(own.pullInV).toEqual({ upper: 7.5 * HOT, origin: 'learned' });
    expect(own.dropOutV).toEqual({ lower: 1.5 * COLD, origin: 'learned' });
  });
});

describe('a limit as a check takes it', () => {
  it('has only the sides that it has', () => {
    expect(limited({ lower: 1, origin: 'maker' })).toStrictEqual({ lower: 1, origin: 'maker' });
    expect(limited({ upper: 2, origin: 'generic' })).toStrictEqual({ upper: 2, origin: 'generic' });
    expect(limited({ lower: 0, upper: 2, origin: 'learned' })).toStrictEqual({
      lower: 0,
      upper: 2,
      origin: 'learned',
    });
  });
});
