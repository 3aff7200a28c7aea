// The catalogue of quantities against the solver: units, how readings move with supply and temperature, and that what a
// run tells and what its JSON calls it are one to one.

import { describe, expect, it } from 'vitest';
import { copperFactor, ferriteFactor, nominalInput, simulatePlan } from '../../host/circuit/index.js';
import {
  keyOf,
  type Measured,
  measure,
  placeOf,
  QUANTITIES,
  QUANTITY_NAMES,
  runStretch,
  stretchWords,
} from '../../host/measure/index.js';
import { plannedUnit } from '../profile/planned-unit.js';

/** Temperature at which a motor profile's values hold, C. */
const REFERENCE_C = 25;

function readings(id: string, change: { supplyFactor?: number; temperatureC?: number } = {}): Measured {
  const unit = plannedUnit(id);
  const { ripple: _, ...motor } = nominalInput(unit).motor;
  const good = { ...nominalInput(unit), motor, temperatureC: REFERENCE_C };
  const supply = { ...good.supply, voltageV: good.supply.voltageV * (change.supplyFactor ?? 1) };
  const input = { ...good, supply, temperatureC: change.temperatureC ?? REFERENCE_C };
  return measure(simulatePlan(input, unit.plan), {
    nominalVoltageV: unit.motor.nominalVoltageV,
    ripple: false,
    isIdeal: true,
  }).measured;
}

describe('readings', () => {
  it.each(['entry-step-relays', 'roof-vent-switch', 'window-lift-alone'])(
    'of %s have the unit and the key that the catalogue gives them',
    (id) => {
      const measured = readings(id);
      expect(Object.keys(measured).length).toBeGreaterThan(60);
      for (const [key, { what, of, unit }] of Object.entries(measured)) {
        expect(unit, key).toBe(QUANTITIES[what].unit);
        expect(keyOf(what, of), key).toBe(key);
      }
    },
  );

  it('end in their unit, as their keys promise', () => {
    const ending: Record<string, string> = {
      Ohm: 'Ohm',
      '%': 'Percent',
      '%/s': 'PercentPerS',
      '1': '',
      rpm: 'Rpm',
      'V s/rad': 'VsPerRad',
      'kg m2': 'KgM2',
      'N m': 'Nm',
      'N m s': 'Nms',
      'N m/A': 'NmPerA',
      'A s/rad': 'APerRadS',
    };
    for (const name of QUANTITY_NAMES) {
      const { unit, words } = QUANTITIES[name];
      const end = ending[unit] ?? unit;
      expect(name.toLowerCase().endsWith(end.toLowerCase()), name).toBe(true);
      expect(words, name).not.toMatch(/[a-z][A-Z][a-z]|_/);
    }
  });
});

describe('stretches', () => {
  it('are named as keys and told as words', () => {
    expect(keyOf('inrushPeakA', runStretch('full', 'forward', { nth: 2 }))).toBe('forward2InrushPeakA');
    expect(keyOf('feedCurrentA', runStretch('limited', 'rest'))).toBe('limitedRestFeedCurrentA');
    expect(keyOf('leadAVoltageV', runStretch('off', 'rest'))).toBe('zeroLeadAVoltageV');
    expect(keyOf('runningAsymmetryPercent')).toBe('runningAsymmetryPercent');
    expect(stretchWords(runStretch('full', 'reverse', { nth: 3 }))).toBe('reverse, throw 3');
    expect(stretchWords(runStretch('limited', 'rest'))).toBe('at rest');
  });

  it('have a place each, but a second limited throw none, and the lead-in none', () => {
    expect(placeOf(undefined)).toBe('whole');
    expect(placeOf(runStretch('full', 'forward', { nth: 2 }))).toBe('throw');
    expect(placeOf(runStretch('limited', 'forward'))).toBe('limited throw');
    expect(placeOf(runStretch('limited', 'forward', { nth: 2 }))).toBeUndefined();
    expect(placeOf(runStretch('off', 'rest'))).toBeUndefined();
  });
});

/** Largest that a power of supply, copper or flux may miss of the solver over these steps; friction and brushes bend it. */
const WITHIN = 0.06;

/** The same for fifty-five degrees; how much of a path is copper differs from unit to unit. */
const WARM_WITHIN = 0.13;

describe('the laws of the catalogue', () => {
  // Powers that have a say where causes are weighed, or that are plain physics; a motor's load is anybody's (its own range).
  const HELD = [
    'leadAVoltageV',
    'inrushPeakA',
    'brakePeakA',
    'coilCurrentA',
    'feedResistanceOhm',
    'groundResistanceOhm',
  ] as const;

  it.each([
    ['entry-step-relays', 0.92],
    ['entry-step-relays', 1.08],
    ['seat-slide-relays', 1.08],
  ])('foretell what %s reads at %f of its supply', (id, supplyFactor) => {
    const [usual, moved] = [readings(id), readings(id, { supplyFactor })];
    for (const what of HELD) {
      const key = keyOf(what, runStretch('full', 'forward'));
      const foretold = supplyFactor ** (QUANTITIES[what].law?.supply ?? 0);
      expect(moved[key]!.value / usual[key]!.value / foretold, key).toBeCloseTo(1, 1);
      expect(Math.abs(moved[key]!.value / usual[key]!.value / foretold - 1), key).toBeLessThan(WITHIN);
    }
  });

  it.each(['entry-step-relays', 'seat-slide-relays', 'window-lift-alone', 'roof-vent-switch'])(
    'foretell what %s reads at 80 °C from what it reads at 25',
    (id) => {
      const [cold, hot] = [readings(id), readings(id, { temperatureC: 80 })];
      const copper = copperFactor(REFERENCE_C, 80);
      const flux = ferriteFactor(REFERENCE_C, 80);
      let held = 0;
      for (const [key, { what, of, value }] of Object.entries(cold)) {
        const { copper: c = 0, flux: f = 0 } = QUANTITIES[what].law ?? {};
        if (of?.id !== 'forward' || (c === 0 && f === 0) || Math.abs(value) < 0.005) continue;
        held += 1;
        expect(Math.abs(hot[key]!.value / value / (copper ** c * flux ** f) - 1), key).toBeLessThan(
          WARM_WITHIN,
        );
      }
      expect(held).toBeGreaterThan(8);
    },
  );
});
