// A relay's run as a rig would deliver it, from the circuit model: commands between two samples, noise, 10-bit rounding,
// gain and offset errors of the rig.

import type { Capture, Channel } from '../../host/capture/index.js';
import { simulatePlan, type UnitCircuitInput } from '../../host/circuit/index.js';
import type { ResolvedUnit } from '../../host/profile/index.js';
import { seeded } from '../measure/closed-form.js';

/** The person's turning of the supply takes eleven seconds in the style's own figures. */
const RAMP_S = 12;
const NOISE_COUNTS = 0.6;

export function relayBenchRun(unit: ResolvedUnit, input: UnitCircuitInput, seed: number): Capture {
  const { uniform, normal } = seeded(seed);
  const steps = unit.plan.steps.map((step) => ({ ...step, durationS: Math.min(RAMP_S, step.durationS) }));
  const run = simulatePlan(input, { steps }, { leadInS: 0.2 + 0.0002 * uniform() });
  const channels: Capture['channels'] = {};
  for (const [name, values] of Object.entries(run.channels) as [Channel, Float64Array][]) {
    const { atZeroCount, perCount, gainUncertaintyPercent, offsetUncertainty } = unit.rig.scales[name];
    const gain = 1 + (gainUncertaintyPercent / 100) * normal();
    const offset = offsetUncertainty * normal();
    const top = 2 ** unit.rig.adcBits - 1;
    channels[name] = values.map((value) => {
      const count = (gain * value + offset - atZeroCount) / perCount + NOISE_COUNTS * normal();
      return atZeroCount + perCount * Math.min(top, Math.max(0, Math.round(count)));
    });
  }
  return { ...run, channels };
}
