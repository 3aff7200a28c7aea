// Meters of a person at the bench. Ohms against what stands on the resistors; levels of a throw from a run that is written
// down.

import { afterAll, beforeEach, describe, expect, it, vi } from 'vitest';
import * as circuit from '../../../host/circuit/index.js';
import { driven, held, ohms, throwLevels } from '../../../host/diagnose/probing/meter.js';
import { shipped } from '../../judge/handmade.js';

// Put in place while these tests run, and taken away behind them: files share their modules.
const simulated = vi.spyOn(circuit, 'simulate');
afterAll(() => simulated.mockRestore());
beforeEach(() => {
  simulated.mockReset();
});

const UNIT = shipped('entry-step-relays');
const NO_ENERGY = { suppliedJ: 0, dissipatedJ: 0, storedJ: 0 };
const resistor = (id: string, a: string, b: string, resistanceOhm: number) =>
  ({ kind: 'resistor', id, a, b, resistanceOhm }) as const;

describe('an ohmmeter', () => {
  const between = (ohm: number, minus = circuit.GROUND): number =>
    ohms({ elements: [resistor('r', 'a', minus, ohm)] }, 'a', minus);
  it('reads the resistance between two nodes, of which one may be ground', () => {
    for (const ohm of [0.5, 85, 4700]) {
      expect(between(ohm) / ohm).toBeCloseTo(1, 5);
      expect(between(ohm, 'b') / ohm).toBeCloseTo(1, 3);
    }
  });
  it('reads open from a megohm on', () => {
    expect(between(0.9e6) / 0.9e6).toBeCloseTo(1, 2);
    expect(between(1.1e6)).toBe(Number.POSITIVE_INFINITY);
    expect(between(1e9)).toBe(Number.POSITIVE_INFINITY);
  });
  it('reads nothing across a wire, and never less', () => {
    const reads = (voltageV: number, currentA: number): number => {
      const flat = (value: number) => new Float64Array(3001).fill(value);
      simulated.mockReturnValueOnce({
        ...{
          timeS: flat(0),
          events: [],
          steps: 1,
          values: { voltageV: flat(voltageV), currentA: flat(currentA) },
        },
        energy: NO_ENERGY,
      });
      return ohms({ elements: [] }, 'a', circuit.GROUND);
    };
    expect(reads(-1e-9, 1)).toBe(0);
    expect(reads(5, 1)).toBe(5);
    // 12 uA is the least that the meter shows.
    expect(reads(11, 11.9e-6)).toBe(Number.POSITIVE_INFINITY);
    expect(reads(11, 12.1e-6)).toBeCloseTo(11 / 12.1e-6, 3);
    expect(reads(13, 12.1e-6)).toBe(Number.POSITIVE_INFINITY);
  });
});

describe('a supply across two nodes', () => {
  it('drives what its own resistance lets through', () => {
    const { voltageV, currentA, peakA } = driven(
      { elements: [resistor('r', 'a', circuit.GROUND, 3)] },
      'a',
      circuit.GROUND,
      { voltageV: 12, ohm: 1, untilS: 0.2 },
    );
    expect(currentA).toBeCloseTo(3, 4);
    expect(voltageV).toBeCloseTo(9, 4);
    expect(peakA).toBeCloseTo(3, 4);
  });
  it('reads the mean of the last 80 ms, and the most either way of the whole', () => {
    const currentA = new Float64Array(401);
    currentA.set([-8, 5], 10);
    currentA.fill(2, 401 - 160);
    currentA[401 - 161] = 7;
    simulated.mockReturnValueOnce({
      ...{ timeS: currentA, events: [], steps: 1, values: { voltageV: currentA, currentA } },
      energy: NO_ENERGY,
    });
    expect(driven({ elements: [] }, 'a', 'b', { voltageV: 12, ohm: 1, untilS: 0.2 })).toEqual({
      ...{ voltageV: 2, currentA: 2, peakA: 8 },
    });
  });
});

it('a held shaft is that of the motor alone', () => {
  const { netlist, motorId } = circuit.buildUnitCircuit(circuit.nominalInput(UNIT));
  const still = held(netlist, motorId);
  expect(still.elements.filter((element) => 'rotorHeld' in element).map(({ id }) => id)).toEqual([motorId]);
  expect(still.elements.map(({ id }) => id)).toEqual(netlist.elements.map(({ id }) => id));
  expect(held(netlist, 'k1')).toEqual(netlist);
});

describe('the levels of a throw', () => {
  const built = circuit.buildUnitCircuit(circuit.nominalInput(UNIT));
  /** 2 kHz over 0.35 s of rest and 0.7 s of throw: sample 700 is the throw's first. */
  const COUNT = 2101;
  const TRIP = { ...UNIT.rig.trip, motorCurrentA: 30, feedCurrentA: 20 };
  type Course = (i: number) => number;
  const NO_CURRENT: Record<string, Course> = { motorCurrentA: () => 0, feedCurrentA: () => 0 };
  const run = (courses: Record<string, Course>): circuit.Simulation => ({
    timeS: Float64Array.from({ length: COUNT }, (_, i) => i / 2000),
    values: Object.fromEntries(
      Object.entries({ ...NO_CURRENT, ...courses }).map(([name, course]) => [
        name,
        Float64Array.from({ length: COUNT }, (_, i) => course(i)),
      ]),
    ),
    ...{ events: [], steps: 1, energy: NO_ENERGY },
  });
  const levels = (courses: Record<string, Course>) => {
    simulated.mockReturnValueOnce(run(courses));
    return throwLevels(built, 'forward', TRIP);
  };

  it('are of a run that rests on the feed, then throws', () => {
    simulated.mockReturnValueOnce(run({}));
    const extra = { drop: { kind: 'voltage', plus: 'a' } } as const;
    throwLevels(built, 'reverse', TRIP, extra);
    const { controls, probes, netlist } = built;
    expect(simulated.mock.lastCall?.[0]).toEqual({
      netlist,
      schedule: [
        { atS: 0, settings: [...controls.feed.off, ...controls.position.rest] },
        { atS: 0.05, settings: controls.feed.full },
        { atS: 0.35, settings: controls.position.reverse },
      ],
      untilS: expect.closeTo(1.05, 9),
      sampleRateHz: 2000,
      probes: { ...probes, ...extra },
      options: { relativeTolerance: 1e-3 },
    });
  });

  it('are the means of the last 80 ms of rest and of throw', () => {
    // Rest settles over 540 to 699, the throw over 1940 to 2099.
    const course: Course = (i) => (i < 540 ? 9 : i < 700 ? 1 : i < 1940 ? 7 : i < 2100 ? 2 : 99);
    expect(levels({ leadAVoltageV: course })).toMatchObject({
      rest: { leadAVoltageV: 1 },
      thrown: { leadAVoltageV: 2 },
      limited: false,
    });
  });

  it('have the highest motor current either way, but for the first half millisecond', () => {
    const peak = (at: number, amps: number) => levels({ motorCurrentA: (i) => (i === at ? amps : 0) }).peakA;
    expect(peak(701, -25)).toBe(25);
    expect(peak(900, 12)).toBe(12);
    expect(peak(700, 25)).toBe(0);
  });

  it('are those with the limited feed where the full one takes more than the rig lets through', () => {
    const twice =
      (amps: number, count = 2): Course =>
      (i) =>
        i >= 800 && i < 800 + count ? amps : 0;
    const tripped = (courses: Record<string, Course>): boolean => {
      simulated.mockReset();
      simulated.mockReturnValueOnce(run(courses)).mockReturnValueOnce(run({ leadAVoltageV: () => 3 }));
      const { limited, thrown } = throwLevels(built, 'forward', TRIP);
      expect(thrown.leadAVoltageV).toBe(limited ? 3 : undefined);
      if (limited)
        expect(simulated.mock.lastCall?.[0].schedule[1]?.settings).toBe(built.controls.feed.limited);
      return limited;
    };
    expect(tripped({ motorCurrentA: twice(31) })).toBe(true);
    expect(tripped({ motorCurrentA: twice(-31) })).toBe(true);
    expect(tripped({ motorCurrentA: twice(30) })).toBe(false);
    expect(tripped({ motorCurrentA: twice(31, 1) })).toBe(false);
    expect(tripped({ motorCurrentA: (i) => (i % 2 === 0 ? 31 : 0) })).toBe(false);
    expect(tripped({ feedCurrentA: twice(21) })).toBe(true);
    expect(tripped({ feedCurrentA: twice(20) })).toBe(false);
  });
});
