// When a contact closes after its command, and how long it bounces.

import { sampleAt } from '../arrays/index.js';
import type { Channel } from '../capture/index.js';
import { median } from './statistics.js';
import { indexAt, samplesIn, type Trace } from './trace.js';

/** Bounce of automotive relays 1 to 5 ms (common catalogue figure); longer is a loose joint. */
const BOUNCE_WITHIN_S = 0.012;
/** So long before the command a channel's level is read. */
const LEVEL_S = 0.01;
/** A lead has left its level by this part of the supply: more than any drop in a wire. Choice of this program, no source. */
const LEFT_PART = 0.3;
/** A current has left its level by so many deviations of its noise, and by no less than this. Choice of this program, no source. */
const CLEAR = 8;
const LEAST_A = 0.4;
/** Between the leads stands more than this part of the driven voltage: the contact is closed. */
const SHUT_PART = 0.5;

const LEADS: readonly Channel[] = ['leadAVoltageV', 'leadBVoltageV'];

/** First sample at which a lead, or first of two in a row at which the current, has left its level before the command. */
export function findContact(trace: Trace, from: number, to: number, supplyV: number): number | undefined {
  const current = trace.channels.motorCurrentA ? 'motorCurrentA' : 'feedCurrentA';
  const leastA = Math.max(LEAST_A, CLEAR * (trace.noise[current] ?? 0));
  const levelFrom = Math.max(0, from - Math.ceil(samplesIn(trace, LEVEL_S)));
  const watched = [
    ...LEADS.map((channel) => ({ channel, step: LEFT_PART * supplyV, isLead: true })),
    { channel: current, step: leastA, isLead: false } as const,
  ].flatMap(({ channel, ...how }) => {
    const values = trace.channels[channel];
    if (!values) return [];
    const base = median(values, levelFrom, from + 1);
    return [{ values, base: Number.isNaN(base) ? 0 : base, ...how }];
  });
  for (let i = from; i + 1 < to; i++) {
    for (const { values, base, step, isLead } of watched) {
      if (!(Math.abs(sampleAt(values, i) - base) > step)) continue;
      // A lead does not come so far by noise: one sample of it is the first touch of a bouncing contact.
      if (isLead || Math.abs(sampleAt(values, i + 1) - base) > step) return i;
    }
  }
  return undefined;
}

export const lostBefore = (trace: Trace, from: number, at: number): boolean =>
  [...LEADS, 'motorCurrentA' as const].some((channel) =>
    trace.channels[channel]?.subarray(from, at).some(Number.isNaN),
  );

/** End of the last opening within the bounce time after first contact; undefined when the contact closed once. */
export function bounceEnd(trace: Trace, contact: number, to: number, drivenV: number): number | undefined {
  const voltage = trace.motorVoltageV;
  if (!voltage) return undefined;
  const end = indexAt(trace, sampleAt(trace.timeS, contact) + BOUNCE_WITHIN_S, contact, to);
  let last: number | undefined;
  let closed = false;
  for (let i = contact; i < end; i++) {
    const shut = sampleAt(voltage, i) / drivenV > SHUT_PART;
    if (shut && !closed && i > contact + 1 && last !== undefined) last = i;
    if (!shut && closed) last = i;
    closed = shut;
  }
  return last === undefined ? undefined : sampleAt(trace.timeS, last);
}
