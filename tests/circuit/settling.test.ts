// How the solver settles after events that leave several clamps and windings to sort out at once. Currents and ends are
// held against closed forms of an inductance driven down by a fixed voltage; energy against conservation.

import { describe, expect, it } from 'vitest';
import { type CircuitElement, type ScheduleEntry, simulate } from '../../host/circuit/index.js';

const SUPPLY: CircuitElement = {
  kind: 'supply',
  id: 'v',
  plus: 'p',
  minus: 'ground',
  voltageV: 13,
  sourceResistanceOhm: 0.03,
};
const clamp = (id: string, anode: string, cathode: string, volts: number, ohm = 0.1): CircuitElement => {
  return {
    kind: 'clamp',
    id,
    anode,
    cathode,
    forwardVoltageV: volts,
    clampVoltageV: volts,
    onResistanceOhm: ohm,
  };
};
const contact = (id: string, a: string, b: string): CircuitElement => {
  return {
    kind: 'contact',
    id,
    a,
    b,
    closed: true,
    contactResistanceOhm: 1e-4,
    closeDelayS: 0,
    openDelayS: 0,
  };
};
const set = (atS: number, element: string, state: boolean): ScheduleEntry => {
  return { atS, settings: [{ element, state }] };
};
function run(
  elements: CircuitElement[],
  schedule: ScheduleEntry[],
  untilS: number,
  sampleRateHz = 1_000_000,
) {
  const probes = {
    i: { kind: 'current', element: 'm' },
    out: { kind: 'voltage', plus: 'out' },
  } as const;
  const options = { relativeTolerance: 5e-6 };
  const result = simulate({ netlist: { elements }, schedule, untilS, sampleRateHz, probes, options });
  const { suppliedJ, dissipatedJ, storedJ } = result.energy;
  const turnoverJ = Math.max(Math.abs(suppliedJ), Math.abs(dissipatedJ));
  expect(Math.abs(suppliedJ - dissipatedJ - storedJ) / turnoverJ, 'energy').toBeLessThan(1e-3);
  return result;
}
/** Time for R i + L di/dt = -backV from i to 0, s. */
const fallS = (inductanceH: number, ohm: number, i: number, backV: number) =>
  (inductanceH / ohm) * Math.log(1 + (i * ohm) / backV);

describe('a contact that opens on an inductance', () => {
  it('into two clamps and a leak: the lower clamp takes the current, the other none', () => {
    const inductor: CircuitElement = { kind: 'inductor', id: 'm', a: 'out', b: 'q', inductanceH: 1e-3 };
    const elements = [
      SUPPLY,
      contact('s', 'p', 'out'),
      inductor,
      { kind: 'resistor', id: 'r', a: 'q', b: 'ground', resistanceOhm: 2 } as CircuitElement,
      clamp('low', 'out', 'ground', 20),
      clamp('high', 'out', 'ground', 40),
    ];
    const { values, events } = run(elements, [set(0.01, 's', false)], 0.0112);
    const amps = 13 / 2.0301;
    expect(values.i![9999]).toBeCloseTo(amps, 3);
    expect(values.out![10_001]).toBeCloseTo(-20 - 0.1 * values.i![10_001]!, 3);
    const ends = events.find(
      ({ element, what, timeS }) => element === 'low' && what === 'blocks' && timeS > 0.01,
    )!;
    expect(Math.abs((ends.timeS - 0.01) / fallS(1e-3, 2.1, amps, 20) - 1)).toBeLessThan(1e-4);
    expect(events.filter(({ element }) => element === 'high')).toEqual([]);
    expect(Math.abs(values.i!.at(-1)!)).toBeLessThan(1e-6);
  });

  it('into a clamp at each end of the winding, both cut at the same instant', () => {
    const elements = [
      SUPPLY,
      contact('s', 'p', 'out'),
      contact('t', 'q', 'ground'),
      { kind: 'inductor', id: 'l', a: 'out', b: 'mid', inductanceH: 1e-3 } as CircuitElement,
      { kind: 'resistor', id: 'm', a: 'mid', b: 'q', resistanceOhm: 2 } as CircuitElement,
      clamp('c1', 'out', 'ground', 20),
      clamp('c2', 'q', 'ground', 25),
      clamp('c3', 'out', 'q', 60),
    ];
    const { values, events } = run(elements, [set(0.01, 's', false), set(0.01, 't', false)], 0.012);
    // 20 V + 25 V in series stay below the 60 V of the third.
    const ends = events.find(({ element, what }) => element === 'c2' && what === 'blocks')!;
    expect(Math.abs((ends.timeS - 0.01) / fallS(1e-3, 2.2, 13 / 2.0302, 45) - 1)).toBeLessThan(1e-4);
    expect(values.out![10_001]).toBeCloseTo(-20 - 0.1 * values.i![10_001]!, 3);
    expect(events.filter(({ element }) => element === 'c3')).toEqual([]);
  });

  it('into three clamps with two windings cut at once, each dying in its own time', () => {
    const branch = (k: number, inductanceH: number): CircuitElement[] => [
      { kind: 'inductor', id: `l${k}`, a: 'out', b: `q${k}`, inductanceH },
      { kind: 'resistor', id: k === 1 ? 'm' : 'r2', a: `q${k}`, b: `e${k}`, resistanceOhm: 2 },
      contact(`t${k}`, `e${k}`, 'ground'),
      clamp(`c${k}`, `e${k}`, 'ground', 15 + 10 * k),
    ];
    const elements = [
      SUPPLY,
      contact('s', 'p', 'out'),
      ...branch(1, 1e-3),
      ...branch(2, 3e-3),
      clamp('c', 'out', 'ground', 20),
    ];
    const cuts = ['s', 't1', 't2'].map((id) => set(0.02, id, false));
    const { events } = run(elements, cuts, 0.024);
    const last = (id: string) =>
      events.filter(({ element, what }) => element === id && what === 'blocks').at(-1)!.timeS - 0.02;
    // The common clamp's 0.1 Ohm carries both currents; within 1 % each sees its own voltage alone.
    const amps = 13 / (2 * 0.0301 + 2.0001);
    expect(Math.abs(last('c1') / fallS(1e-3, 2.2, amps, 45) - 1)).toBeLessThan(0.01);
    expect(Math.abs(last('c2') / fallS(3e-3, 2.2, amps, 55) - 1)).toBeLessThan(0.01);
    expect(last('c')).toBeCloseTo(last('c2'), 6);
  });
});

describe('a brush that lifts under an arc with nothing else beside it', () => {
  const lifts = [0.0011, 0.0041, 0.0071];
  it.for([
    [5e-5, 0],
    [2e-4, 0.8],
    [1e-3, 0],
    [5e-3, 0.8],
  ] as const)(
    'L %f H, brush drop %f V: the arc ends once a lift, in few steps',
    ([inductanceH, brushDropV]) => {
      for (const startS of [0.0137, 0.11, 0.37]) {
        const elements: CircuitElement[] = [
          SUPPLY,
          contact('brush', 'p', 'out'),
          clamp('arc', 'p', 'out', 18),
          {
            kind: 'motor',
            id: 'm',
            a: 'out',
            b: 'ground',
            resistanceOhm: 0.6,
            inductanceH,
            backEmfVsPerRad: 0.03,
            torqueNmPerA: 0.028,
            inertiaKgM2: 5e-5,
            viscousNms: 1e-5,
            coulombNm: 0.04,
            brushDropV,
            brushKneeA: 0.3,
            temperatureC: 25,
          },
        ];
        const schedule = lifts.flatMap((lift) => [
          set(startS + lift, 'brush', false),
          set(startS + lift + 0.0015, 'brush', true),
        ]);
        const { values, events, steps } = run(elements, schedule, startS + 0.02, 5000);
        // Arc, and no second one the other way: an arc cannot light itself again from a current that has died.
        expect(events.filter(({ element, what }) => element === 'arc' && what === 'clamps')).toEqual([]);
        expect(events.filter(({ element, what }) => element === 'arc' && what === 'conducts')).toHaveLength(
          3,
        );
        expect(steps).toBeLessThan(1500);
        expect(values.i!.at(-1)).toBeGreaterThan(0);
        if (inductanceH > 1e-3) continue;
        const openS = startS + lifts[1]! + 0.0012;
        expect(Math.abs(values.i![Math.ceil(openS * 5000)]!)).toBeLessThan(1e-6);
      }
    },
  );
});
