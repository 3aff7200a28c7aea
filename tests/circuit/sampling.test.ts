// A run sampled whole reads what a running circuit reads at each sample, to rounding, for every kind of probe.

import { expect, it } from 'vitest';
import { createTransient, type Probe, simulate } from '../../host/circuit/index.js';
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
