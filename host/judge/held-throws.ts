// Throws that meet a held rotor, as the capture itself shows them: how long the current stood, and when the motor's
// protector opened. A hold that went on for its protector is cut back to the plan's own time for everything else.

import type { Capture } from '../capture/index.js';
import { WindingHeat } from '../measure/index.js';
import { holdsRotor, type ResolvedUnit } from '../profile/index.js';

/** Published of window and seat motors: under 1 A counts as opened; a hot PTC goes on passing some. */
const OPENED_A = 1;
/** Longer than any dropout of a brush (common practice, no source). */
const GONE_S = 0.1;
/** Contact bounce and the rise of the current are over by then. */
const SETTLED_S = 0.1;
const HELD_PART = 0.5;
const LIVE_PART = 0.5;
/** A PTC fades before it is off: of a hold that it ended, so much shows the current of a held rotor. Choice of this program, no source. */
const UNFADED_PART = 0.75;
/** The plan's own time and what the rig's relays take. */
const BEYOND_PLAN_S = 0.1;

export interface HeldThrow {
  position: 'forward' | 'reverse';
  /** From the contact on, as long as current of a held rotor flowed. */
  heldS: number;
  /** From the contact to the current gone with the leads still at their voltage. */
  opensAfterS?: number;
  /** From the contact to the winding's own resistance risen by 30 %, by its slow fall of the current. */
  hotAfterS?: number;
}

interface Stretch {
  position: 'forward' | 'reverse';
  from: number;
  to: number;
}

/** Throws with the full feed, in order. */
export function heldThrows(capture: Capture): HeldThrow[] {
  const current = capture.channels.motorCurrentA ?? capture.channels.feedCurrentA;
  if (!current) return [];
  return fullThrows(capture).map((stretch) => heldThrow(capture, current, stretch));
}

/** `capture` with every held throw as long as the plan says, or as its protector let it, and its time closed up. */
export function withinPlan({ plan }: Pick<ResolvedUnit, 'plan'>, capture: Capture): Capture {
  if (!holdsRotor(plan)) return capture;
  const planned = plan.steps.filter(({ heldRotor }) => heldRotor).map(({ durationS }) => durationS);
  const { timeS } = capture;
  const seen = heldThrows(capture);
  const dropped = fullThrows(capture).flatMap(({ from, to }, i): [number, number][] => {
    const { heldS, opensAfterS } = seen[i] ?? { heldS: Number.POSITIVE_INFINITY };
    const plannedS = planned[Math.min(i, planned.length - 1)]! + BEYOND_PLAN_S;
    const longestS = opensAfterS === undefined ? plannedS : Math.min(plannedS, UNFADED_PART * heldS);
    let end = from;
    while (end < to && timeS[end]! - timeS[from]! < longestS) end++;
    return end < to ? [[end, to]] : [];
  });
  if (dropped.length === 0) return capture;
  const index = [...timeS.keys()].filter((i) => !dropped.some(([from, to]) => i >= from && i < to));
  let lostS = 0;
  const closed = index.map((i, n) => {
    const before = index[n - 1];
    if (before !== undefined && before !== i - 1) lostS += timeS[i - 1]! - timeS[before]!;
    return timeS[i]! - lostS;
  });
  return {
    ...capture,
    timeS: Float64Array.from(closed),
    position: index.map((i) => capture.position[i]!),
    ...(capture.feed ? { feed: index.map((i) => capture.feed![i]!) } : {}),
    channels: Object.fromEntries(
      Object.entries(capture.channels).map(([name, values]) => [
        name,
        Float64Array.from(index, (i) => values[i]!),
      ]),
    ),
  };
}

function fullThrows({ position, feed }: Capture): Stretch[] {
  const found: Stretch[] = [];
  for (let from = 0; from < position.length; ) {
    const at = position[from]!;
    let to = from + 1;
    while (to < position.length && position[to] === at && feed?.[to] === feed?.[from]) to++;
    if (at !== 'rest' && (feed === undefined || feed[from] === 'full'))
      found.push({ position: at, from, to });
    from = to;
  }
  return found;
}

function heldThrow(capture: Capture, current: Float64Array, { position, from, to }: Stretch): HeldThrow {
  const { timeS, channels } = capture;
  const { leadAVoltageV, leadBVoltageV, supplyVoltageV } = channels;
  const magnitude = (i: number): number => Math.abs(current[i]!);
  let contact = from;
  while (contact < to && !(magnitude(contact) > OPENED_A)) contact++;
  let peakA = 0;
  for (let i = contact; i < to && timeS[i]! - timeS[contact]! < SETTLED_S; i++)
    peakA = Math.max(peakA, magnitude(i));
  const isLive = (i: number): boolean =>
    !leadAVoltageV ||
    !leadBVoltageV ||
    Math.abs(leadAVoltageV[i]! - leadBVoltageV[i]!) > LIVE_PART * (supplyVoltageV?.[i] ?? 0);
  const heat = new WindingHeat();
  let heldTo = contact;
  let goneFrom: number | undefined;
  for (let i = contact; i < to; i++) {
    if (leadAVoltageV && leadBVoltageV)
      heat.add(timeS[i]!, Math.abs(leadAVoltageV[i]! - leadBVoltageV[i]!), magnitude(i));
    if (timeS[i]! - timeS[contact]! < SETTLED_S) continue;
    if (magnitude(i) > HELD_PART * peakA && goneFrom === undefined) heldTo = i;
    if (magnitude(i) < OPENED_A && isLive(i)) {
      goneFrom ??= i;
      if (timeS[i]! - timeS[goneFrom]! >= GONE_S)
        return {
          position,
          heldS: timeS[heldTo]! - timeS[contact]!,
          opensAfterS: timeS[goneFrom]! - timeS[contact]!,
        };
    } else goneFrom = undefined;
  }
  const heldS = contact < to ? timeS[heldTo]! - timeS[contact]! : 0;
  return { position, heldS, ...(heat.hotAfterS === undefined ? {} : { hotAfterS: heat.hotAfterS }) };
}
