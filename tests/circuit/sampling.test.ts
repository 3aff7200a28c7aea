// A run sampled whole reads what a running circuit reads at each sample, to rounding, for every kind of probe.

import { describe, expect, it } from 'vitest';
import {
  createTransient,
  GROUND,
  type Netlist,
  type Probe,
  type ScheduleEntry,
  simulate,
} from '../../host/circuit/index.js';
import { RELAY_CYCLE } from '../references/circuit-spice/cases.js';

it('samples a run as its readers do', () => {
  const { netlist, schedule } = RELAY_CYCLE;
  const probes: Record<string, Probe> = {
    lead: { kind: 'voltage', plus: 'a', minus: 'b' },
    motor: { kind: 'current', element: 'm' },
    relay: { kind: 'current', element: 'k1' },
    clamp: { kind: 'current', element: 'clamp_a' },
    supply: { kind: 'current', element: 'bat' },
    coil: { kind: 'coil-current', element: 'k1' },
    speed: { kind: 'speed', element: 'm' },
    angle: { kind: 'angle', element: 'm' },
    coils: { kind: 'sum', of: ['k1', 'k2'].map((element): Probe => ({ kind: 'coil-current', element })) },
    leads: { kind: 'sum', of: ['a', 'b'].map((plus): Probe => ({ kind: 'voltage', plus })) },
  };
  const untilS = 1;
  const whole = simulate({ netlist, schedule, untilS, sampleRateHz: 5000, probes });
  const transient = createTransient(netlist);
  for (const { atS, settings } of schedule) transient.control(atS, settings);
  const readers = Object.entries(probes).map(([name, probe]) => {
    const column = whole.values[name]!;
    return { name, read: transient.reader(probe), column, peak: Math.max(...column.map(Math.abs)) };
  });
  whole.timeS.forEach((timeS, k) => {
    transient.advance(timeS);
    for (const { name, read, column, peak } of readers)
      expect(Math.abs(column[k]! - read()), `${name} at ${timeS} s`).toBeLessThan(1e-9 * peak);
  });
});

describe('a sample on a control', () => {
  // Ohm's law: 12 V over 1 and 5 Ohm.
  const netlist: Netlist = {
    elements: [
      { kind: 'supply', id: 'v', plus: 'p', minus: GROUND, voltageV: 12, sourceResistanceOhm: 1 },
      {
        kind: 'contact',
        id: 'c',
        a: 'p',
        b: 'n',
        closed: false,
        contactResistanceOhm: 1e-6,
        closeDelayS: 0,
        openDelayS: 0,
      },
      { kind: 'resistor', id: 'r', a: 'n', b: GROUND, resistanceOhm: 5 },
    ],
  };
  const probes: Record<string, Probe> = { r: { kind: 'current', element: 'r' } };
  const at = (atS: number, state: boolean): ScheduleEntry => ({ atS, settings: [{ element: 'c', state }] });

  it('at time 0 shows the circuit just after it, as at any later time', () => {
    const run = (fromS: number) =>
      simulate({
        netlist,
        schedule: [at(fromS, true), at(fromS + 0.002, false)],
        untilS: 0.004,
        sampleRateHz: 1000,
        probes,
      }).values.r!;
    [2, 2, 0, 0, 0].forEach((currentA, k) => {
      expect(run(0)[k], `sample ${k}`).toBeCloseTo(currentA, 5);
    });
    [0, 2, 2, 0, 0].forEach((currentA, k) => {
      expect(run(0.001)[k], `sample ${k}`).toBeCloseTo(currentA, 5);
    });
  });

  it('shows the last of two controls at time 0, and its energy is booked once', () => {
    const both = simulate({
      netlist,
      schedule: [at(0, true), at(0, false)],
      untilS: 0.001,
      sampleRateHz: 1000,
      probes,
    });
    expect(both.values.r![0]).toBeCloseTo(0, 5);
    const { energy } = simulate({ netlist, schedule: [at(0, true)], untilS: 0.5, sampleRateHz: 10, probes });
    expect(energy.suppliedJ).toBeCloseTo((12 ** 2 / (1 + 5 + 1e-6)) * 0.5, 6);
  });
});
