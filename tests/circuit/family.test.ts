// Motors of a family: at the currents that the family is told by, and told back from what a run shows of them.

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  familyMotor,
  familyOf,
  familyPlace,
  isOnMechanism,
  type MotorAsSeen,
  type MotorElement,
  motorAsSeen,
  nearestUsual,
  nominalInput,
  seededRandom,
  simulate,
} from '../../host/circuit/index.js';
import { knownUnit } from '../profile/known-unit.js';
import { plannedUnit } from '../profile/planned-unit.js';

const LIFT = plannedUnit('window-lift-switch');
const FAMILY = familyOf(LIFT)!;
const { motor: NOMINAL } = nominalInput(LIFT);
const place = fc.double({ min: 0, max: 1, noNaN: true });
const places = fc.record({
  held: place,
  running: place,
  runningReverse: place,
  runUp: place,
  coil: place,
  flux: place,
});

/** Current after two seconds on a stiff supply of 13 V. */
function currentOf(motor: ReturnType<typeof familyMotor>, volts: number, rotorHeld = false): number {
  const { ripple: _, id: __, title: ___, kind: ____, ...values } = motor;
  const element = { ...values, kind: 'motor', id: 'm', a: 'p', b: 'ground', temperatureC: 25, rotorHeld };
  const { values: run } = simulate({
    netlist: {
      elements: [
        { kind: 'supply', id: 'v', plus: 'p', minus: 'ground', voltageV: volts, sourceResistanceOhm: 0 },
        element as unknown as MotorElement,
      ],
    },
    schedule: [],
    untilS: 2,
    sampleRateHz: 50,
    probes: { i: { kind: 'current', element: 'm' } },
  });
  return Math.abs(run.i!.at(-1)!);
}

describe('a motor of the window lifts', () => {
  // Window motor of one sports car: 3.5 A lowering, 8 A raising, 15 A held at 12 V (wikilec.com, Elan window lift motor);
  // other windows: 5 to 7 A raising, 14 A and more held (workshop manuals, read on mirror sites: Lancer 2002,
  // Outlander 2012, Paseo 1997).
  it('may be any of those that are published', () => {
    for (const amperes of [3.5, 5, 7, 8]) {
      expect(amperes).toBeGreaterThanOrEqual(FAMILY.runningA.least);
      expect(amperes).toBeLessThanOrEqual(FAMILY.runningA.most);
    }
    for (const amperes of [14, 15, 20]) {
      expect(amperes).toBeGreaterThanOrEqual(FAMILY.heldA.least);
      expect(amperes).toBeLessThanOrEqual(FAMILY.heldA.most);
    }
  });

  it('draws the currents of its place at 13 V, held and running, each way its own', () => {
    fc.assert(
      fc.property(places, (at) => {
        const motor = familyMotor(NOMINAL, FAMILY, at);
        const within = ({ least, most }: { least: number; most: number }, part: number) =>
          least + part * (most - least);
        const heldA = within(FAMILY.heldA, at.held);
        expect(currentOf(motor, 13, true)).toBeCloseTo(heldA, 3);
        expect(currentOf(motor, 13)).toBeCloseTo(
          Math.min(0.75 * heldA, within(FAMILY.runningA, at.running)),
          2,
        );
        expect(currentOf(motor, -13)).toBeCloseTo(
          Math.min(0.75 * heldA, within(FAMILY.runningA, at.runningReverse)),
          2,
        );
      }),
      { numRuns: 12, seed: 5 },
    );
  });

  it('is drawn at the ends of the family first, and both ways alike where nothing weighs on it', () => {
    const random = seededRandom(3);
    const drawn = Array.from({ length: 20 }, (_, i) => familyPlace(i, random, false));
    expect(new Set(drawn.slice(0, 8).flatMap(({ held, running }) => [held, running]))).toEqual(
      new Set([0, 1]),
    );
    expect(drawn.every(({ running, runningReverse }) => running === runningReverse)).toBe(true);
    const loaded = Array.from({ length: 20 }, (_, i) => familyPlace(i, random, true));
    expect(loaded.some(({ running, runningReverse }) => Math.abs(running - runningReverse) > 0.5)).toBe(true);
  });
});

describe('which numbers are only a family’s', () => {
  it('are generic ones of a motor that turns', () => {
    expect(familyOf(LIFT)).toEqual(LIFT.motor.family);
    expect(familyOf(knownUnit('window-lift-switch'))).toBeUndefined();
    expect(familyOf(plannedUnit('relay-pair-harness-load'))).toBeUndefined();
  });
  it('are of a mechanism unless the motor is judged alone, or the profile says otherwise', () => {
    expect(isOnMechanism(LIFT)).toBe(true);
    const alone = plannedUnit('window-lift-alone');
    expect(isOnMechanism(alone)).toBe(false);
    expect(isOnMechanism({ ...alone, unit: { ...alone.unit, onMechanism: true } })).toBe(true);
  });
});

describe('a motor told back from its run', () => {
  const seen: MotorAsSeen = {
    resistanceOhm: 0.8,
    inductanceH: 0.001,
    inertiaAsCapacitanceF: 0.03,
    viscousConductanceS: 0.15,
    coulombCurrentA: { forward: 1.6, reverse: 2.4 },
  };
  const runs = (
    { resistanceOhm: r, viscousConductanceS: g, coulombCurrentA }: MotorAsSeen,
    way: 'forward' | 'reverse',
  ) => (coulombCurrentA[way] + g * (13 - LIFT.motor.brushDropV)) / (1 + g * r);

  it('has the numbers that it showed', () => {
    const motor = motorAsSeen(LIFT, seen);
    // Nearly: the profile's bench is at 20 C and a motor's numbers are given at 25 C.
    expect(motor.resistanceOhm / seen.resistanceOhm).toBeCloseTo(1, 1);
    expect(motor.reverseFrictionRatio).toBeCloseTo(1.5, 9);
    expect(currentOf({ ...motor, resistanceOhm: seen.resistanceOhm }, 13)).toBeCloseTo(
      runs(seen, 'forward'),
      0,
    );
  });

  it('is its own nearest while it is in the family', () => {
    const near = nearestUsual(LIFT, FAMILY, seen);
    expect(near.resistanceOhm).toBeCloseTo(seen.resistanceOhm, 9);
    for (const way of ['forward', 'reverse'] as const)
      expect(runs(near, way)).toBeCloseTo(runs(seen, way), 6);
  });

  it('is brought back to the end that it lies beyond, and no further', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.1, max: 5, noNaN: true }),
        fc.double({ min: 0.05, max: 20, noNaN: true }),
        fc.double({ min: 0.05, max: 20, noNaN: true }),
        (resistanceOhm, forward, reverse) => {
          const found = { ...seen, resistanceOhm, coulombCurrentA: { forward, reverse } };
          const near = nearestUsual(LIFT, FAMILY, found);
          const heldA = (13 - LIFT.motor.brushDropV) / near.resistanceOhm;
          expect(heldA).toBeGreaterThan(FAMILY.heldA.least - 1e-6);
          expect(heldA).toBeLessThan(FAMILY.heldA.most + 1e-6);
          for (const way of ['forward', 'reverse'] as const) {
            expect(near.coulombCurrentA[way]).toBeGreaterThan(0);
            expect(runs(near, way)).toBeLessThan(FAMILY.runningA.most + 1e-3);
          }
        },
      ),
      { numRuns: 200, seed: 7 },
    );
  });
});
