// A whole run at once: a schedule of controls in, uniformly sampled probes out.

import { CompiledTransient } from './create-transient.js';
import type { SimulateRequest, Simulation } from './transient.js';

/**
 * Samples lie at k / sampleRateHz from 0 to untilS inclusive; a sample on an event shows the circuit just after it.
 * @throws CircuitError as createTransient does; RangeError for a time or rate that is not positive.
 */
export function simulate(request: SimulateRequest): Simulation {
  const { netlist, schedule, untilS, sampleRateHz, probes, options } = request;
  if (!(untilS >= 0 && untilS < Number.POSITIVE_INFINITY))
    throw new RangeError(`simulate: untilS ${untilS} must be 0 or more`);
  if (!(sampleRateHz > 0)) throw new RangeError(`simulate: sampleRateHz ${sampleRateHz} must be above 0`);
  const transient = new CompiledTransient(netlist, options ?? {});
  for (const { atS, settings } of schedule) transient.control(atS, settings);
  const count = Math.floor(untilS * sampleRateHz + 1e-6) + 1;
  const timeS = new Float64Array(count);
  const columns = Object.entries(probes).map(([name, probe]) => ({
    name,
    probe,
    values: new Float64Array(count),
  }));
  for (let k = 0; k < count; k++) timeS[k] = k / sampleRateHz;
  transient.sample(timeS, columns);
  if (untilS > transient.timeS) transient.advance(untilS);
  return {
    timeS,
    values: Object.fromEntries(columns.map(({ name, values }) => [name, values])),
    events: transient.takeEvents(),
    energy: transient.energy(),
    steps: transient.steps,
  };
}
