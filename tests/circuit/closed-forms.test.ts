// The solver against closed forms of linear circuits. Default tolerance 5e-5 of peak per step; asked here: 5e-4 overall.

import { describe, expect, it } from 'vitest';
import { type CircuitElement, type Probe, simulate } from '../../host/circuit/index.js';

const ASKED = 5e-4;

function worst(
  elements: CircuitElement[],
  probe: Probe,
  untilS: number,
  truth: (timeS: number) => number,
): number {
  const run = simulate({
    netlist: { elements },
    schedule: [],
    untilS,
    sampleRateHz: 400 / untilS,
    probes: { y: probe },
  });
  let largest = 0;
  let peak = 0;
  run.timeS.forEach((t, k) => {
    largest = Math.max(largest, Math.abs(run.values.y![k]! - truth(t)));
    peak = Math.max(peak, Math.abs(truth(t)));
  });
  return largest / peak;
}
const supply = (voltageV: number | [number, number][]): CircuitElement => {
  return { kind: 'supply', id: 'v', plus: 'p', minus: 'ground', voltageV, sourceResistanceOhm: 0 };
};
const resistor = (id: string, a: string, b: string, resistanceOhm: number): CircuitElement => {
  return { kind: 'resistor', id, a, b, resistanceOhm };
};

describe('linear circuits follow their closed forms', () => {
  it('RL rise: 12/R (1 - exp(-t R/L))', () => {
    const elements = [
      supply(12),
      resistor('r', 'p', 'q', 2),
      { kind: 'inductor', id: 'l', a: 'q', b: 'ground', inductanceH: 0.01 } as const,
    ];
    expect(
      worst(elements, { kind: 'current', element: 'l' }, 0.05, (t) => 6 * (1 - Math.exp(-200 * t))),
    ).toBeLessThan(ASKED);
  });

  it('RL decay from an initial current', () => {
    const elements = [
      resistor('r', 'q', 'ground', 2),
      { kind: 'inductor', id: 'l', a: 'q', b: 'ground', inductanceH: 0.01, initialCurrentA: 5 } as const,
    ];
    expect(
      worst(elements, { kind: 'current', element: 'l' }, 0.03, (t) => 5 * Math.exp(-200 * t)),
    ).toBeLessThan(ASKED);
  });

  it('RC charge from an initial voltage', () => {
    const elements = [
      supply(12),
      resistor('r', 'p', 'q', 1000),
      { kind: 'capacitor', id: 'c', a: 'q', b: 'ground', capacitanceF: 1e-5, initialVoltageV: -3 } as const,
    ];
    const truth = (t: number) => 12 - 15 * Math.exp(-100 * t);
    expect(worst(elements, { kind: 'voltage', plus: 'q' }, 0.06, truth)).toBeLessThan(ASKED);
  });

  it('RC under a ramp lags by its time constant', () => {
    const elements = [
      supply([
        [0, 0],
        [0.05, 10],
      ]),
      resistor('r', 'p', 'q', 1000),
      { kind: 'capacitor', id: 'c', a: 'q', b: 'ground', capacitanceF: 1e-5 } as const,
    ];
    const ramp = (t: number) => 200 * (t - 0.01 * (1 - Math.exp(-100 * t)));
    const truth = (t: number) => (t <= 0.05 ? ramp(t) : 10 + (ramp(0.05) - 10) * Math.exp(-100 * (t - 0.05)));
    expect(worst(elements, { kind: 'voltage', plus: 'q' }, 0.1, truth)).toBeLessThan(ASKED);
  });

  it('series RLC, underdamped: decaying oscillation at sqrt(1/LC - (R/2L)^2)', () => {
    const [r, l, c] = [1, 0.01, 1e-4];
    const elements = [
      supply(10),
      resistor('r', 'p', 'q', r),
      { kind: 'inductor', id: 'l', a: 'q', b: 's', inductanceH: l } as const,
      { kind: 'capacitor', id: 'c', a: 's', b: 'ground', capacitanceF: c } as const,
    ];
    const decay = r / (2 * l);
    const omega = Math.sqrt(1 / (l * c) - decay ** 2);
    const truth = (t: number) =>
      10 * (1 - Math.exp(-decay * t) * (Math.cos(omega * t) + (decay / omega) * Math.sin(omega * t)));
    // Twelve periods; the error of each step adds to the phase.
    expect(worst(elements, { kind: 'voltage', plus: 's' }, 0.075, truth)).toBeLessThan(0.004);
  });

  it('a supply with a current limit charges a capacitor in a straight line, then exponentially', () => {
    const limited = { ...supply(12), sourceResistanceOhm: 1, currentLimitA: 2 } as CircuitElement;
    const elements = [
      limited,
      { kind: 'capacitor', id: 'c', a: 'p', b: 'ground', capacitanceF: 0.01 } as const,
    ];
    // At 2 A the 1 Ohm source leaves regulation until the capacitor stands at 10 V, at 0.05 s.
    const truth = (t: number) => (t <= 0.05 ? 200 * t : 12 - 2 * Math.exp(-(t - 0.05) / 0.01));
    expect(worst(elements, { kind: 'voltage', plus: 'p' }, 0.1, truth)).toBeLessThan(ASKED);
  });

  it('a freewheeling diode carries the coil current down: exact event times and decay', () => {
    const run = simulate({
      netlist: {
        elements: [
          supply(12),
          {
            kind: 'contact',
            id: 's',
            a: 'p',
            b: 'q',
            closed: true,
            contactResistanceOhm: 0.01,
            closeDelayS: 0,
            openDelayS: 0,
          },
          resistor('r', 'q', 't', 3.99),
          { kind: 'inductor', id: 'l', a: 't', b: 'ground', inductanceH: 0.02, initialCurrentA: 3 },
          {
            kind: 'diode',
            id: 'd',
            anode: 'ground',
            cathode: 'q',
            forwardVoltageV: 0.7,
            onResistanceOhm: 0.01,
          },
        ],
      },
      schedule: [{ atS: 0.0103, settings: [{ element: 's', state: false }] }],
      untilS: 0.04,
      sampleRateHz: 20_000,
      probes: { i: { kind: 'current', element: 'l' } },
    });
    // 3 A steady; then L di/dt = -(4 i + 0.7), zero at ln(1 + 4 x 3 / 0.7) x L / 4.
    const endS = 0.0103 + (0.02 / 4) * Math.log(1 + 12 / 0.7);
    const truth = (t: number) =>
      t < 0.0103 ? 3 : t < endS ? (3 + 0.175) * Math.exp(-(t - 0.0103) * 200) - 0.175 : 0;
    run.timeS.forEach((t, k) => {
      expect(Math.abs(run.values.i![k]! - truth(t))).toBeLessThan(3 * ASKED);
    });
    const blocks = run.events.find(({ element, what }) => element === 'd' && what === 'blocks')!;
    expect(Math.abs(blocks.timeS - endS)).toBeLessThan(2e-5);
  });
});
