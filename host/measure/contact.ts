// When a contact closes after its command, and how long it bounces.

import { median } from './statistics.js';
import { indexAt, type Trace } from './trace.js';

/** Bounce of automotive relays 1 to 5 ms (common catalogue figure); longer is a loose joint. */
const BOUNCE_WITHIN_S = 0.012;

/** First sample at which a lead, or first of two in a row at which the current, has left its level before the command. */
export function findContact(trace: Trace, from: number, to: number, supplyV: number): number | undefined {
  const stepV = 0.3 * supplyV;
  const watch: { values: Float64Array; base: number; step: number; isLead: boolean }[] = [];
  for (const channel of ['leadAVoltageV', 'leadBVoltageV', 'motorCurrentA', 'feedCurrentA'] as const) {
    const values = trace.channels[channel];
    if (!values || (channel === 'feedCurrentA' && trace.channels.motorCurrentA)) continue;
    const base = median(values, Math.max(0, from - Math.ceil(0.01 / Math.max(trace.stepS, 1e-5))), from + 1);
    const step = channel.endsWith('V') ? stepV : Math.max(0.4, 8 * (trace.noise[channel] ?? 0));
    watch.push({ values, base: !Number.isNaN(base) ? base : 0, step, isLead: channel.endsWith('V') });
  }
  for (let i = from; i + 1 < to; i++) {
    for (const { values, base, step, isLead } of watch) {
      if (!(Math.abs(values[i]! - base) > step)) continue;
      // A lead does not come so far by noise: one sample of it is the first touch of a bouncing contact.
      if (isLead || Math.abs(values[i + 1]! - base) > step) return i;
    }
  }
  return undefined;
}

export function lostBefore(trace: Trace, from: number, at: number): boolean {
  for (const channel of ['leadAVoltageV', 'leadBVoltageV', 'motorCurrentA'] as const) {
    const values = trace.channels[channel];
    for (let i = from; values && i < at; i++) if (Number.isNaN(values[i]!)) return true;
  }
  return false;
}

/** End of the last opening within the bounce time after first contact; undefined when the contact closed once. */
export function bounceEnd(trace: Trace, contact: number, to: number, drivenV: number): number | undefined {
  const voltage = trace.motorVoltageV;
  if (!voltage) return undefined;
  const end = indexAt(trace, trace.timeS[contact]! + BOUNCE_WITHIN_S, contact, to);
  let last: number | undefined;
  let closed = false;
  for (let i = contact; i < end; i++) {
    const shut = voltage[i]! / drivenV > 0.5;
    if (shut && closed === false && i > contact + 1 && last !== undefined) last = i;
    if (!shut && closed) last = i;
    closed = shut;
  }
  return last === undefined ? undefined : trace.timeS[last]!;
}
