// One throw of the rig for a probe: what one channel reads at its end, and what the leads read through the limited feed.
// Whatever happens, outputs are off when it returns.

import type { Capture, Channel, Feed, Position } from '../capture/index.js';
import type { ResolvedUnit, RigProfile } from '../profile/index.js';
import type { Rig } from '../rig/index.js';
import { capitalised, stopClause } from '../tell/index.js';
import { drivePlan } from './drive.js';
import { misreadOf } from './off-readings.js';
import type { PlannedStep } from './planned.js';
import { sentenceOf } from './trouble.js';

/** Relays fall, feed contacts close. */
const REST_S = 0.3;
/** As long as the probe's circuit is solved for; no throw of a probe may last longer than 5 s. */
const THROW_S = 0.4;
/** What is read is read over the last part. */
const READ_S = 0.08;

export interface ThrowAsked {
  way: 'forward' | 'reverse';
  feed: Exclude<Feed, 'off'>;
  channel: Channel;
  trip: RigProfile['trip'];
  /** What hangs on the rig: its coils are asked through their limiter before they are fed straight. */
  unit: ResolvedUnit;
  /** Aborted: outputs off at once. */
  signal: AbortSignal;
}

/** In the channel's unit; `trouble` is why there is no reading, in one sentence. */
export type ThrowRead = { value: number } | { trouble: string };

/** One throw with the feed given, outputs off before and after. */
export async function probeThrow(rig: Rig, asked: ThrowAsked): Promise<ThrowRead> {
  const { way, feed, channel } = asked;
  const capture = await driven(rig, asked, [
    { position: 'rest', feed, durationS: REST_S },
    { position: way, feed, durationS: THROW_S },
  ]);
  if ('trouble' in capture) return capture;
  const value = lastOf(capture, { channel, position: way, feed });
  return value === undefined ? { trouble: 'The rig sent no samples of that throw.' } : { value };
}

/** A stretch of the limited check, and what one lead reads at its end. */
export interface LimitedLevel {
  position: Position;
  value: number;
}
const CHECKED: readonly Position[] = ['rest', 'forward', 'reverse'];

/** The limited steps that a plan begins with, made again: what the channel reads at the end of each. */
export async function limitedCheck(
  rig: Rig,
  plan: readonly PlannedStep[],
  asked: Omit<ThrowAsked, 'way' | 'feed'>,
): Promise<LimitedLevel[] | { trouble: string }> {
  const full = plan.findIndex(({ feed }) => feed === 'full');
  const steps = plan.slice(0, full < 0 ? plan.length : full).filter(({ ask }) => ask === undefined);
  if (steps.length === 0) return [];
  const capture = await driven(rig, asked, steps);
  return 'trouble' in capture ? capture : limitedLevels(capture, asked.channel);
}

/** The same of a recorded run; none where it made no limited throw. */
export const limitedLevels = (capture: Capture, channel: Channel): LimitedLevel[] =>
  CHECKED.flatMap((position) => {
    const value = lastOf(capture, { channel, position, feed: 'limited' });
    return value === undefined ? [] : [{ position, value }];
  });

async function driven(
  rig: Rig,
  { trip, signal, unit }: Pick<ThrowAsked, 'trip' | 'signal' | 'unit'>,
  steps: readonly PlannedStep[],
): Promise<Capture | { trouble: string }> {
  try {
    const { coilOptions } = await import('./find-short.js');
    const { capture, halt, fed } = await drivePlan(rig, steps, {
      ...coilOptions(unit),
      findMisread: misreadOf(unit, rig),
      trip,
      signal,
      onStep: () => {},
      onSamples: () => {},
    });
    if (fed !== undefined) return { trouble: fed.sentence };
    if (halt === undefined) return capture;
    return { trouble: halt.sentence ?? `${capitalised(stopClause(halt.reason))}.` };
  } catch (error) {
    return { trouble: sentenceOf(error) };
  }
}

/** Mean over the end of the first such stretch; undefined where it was not sampled. */
function lastOf(
  { timeS, position, feed, channels, sampleRateHz }: Capture,
  of: { channel: Channel; position: Position; feed: Feed },
): number | undefined {
  const values = channels[of.channel];
  if (values === undefined || feed === undefined) return undefined;
  const isIn = (i: number): boolean => position[i] === of.position && feed[i] === of.feed;
  let from = 0;
  while (from < timeS.length && !isIn(from)) from++;
  let to = from;
  while (to < timeS.length && isIn(to)) to++;
  const read = values
    .subarray(Math.max(from, to - Math.round(READ_S * sampleRateHz)), to)
    .filter((value) => !Number.isNaN(value));
  if (read.length === 0) return undefined;
  return read.reduce((sum, value) => sum + value, 0) / read.length;
}
