// A known load while a person reads a meter: switched on, followed until it is steady, and off again by a key, by the stop
// switch or by itself before the rig's longest hold. Outputs are off when it returns or throws.

import type { Channel, Position } from '../capture/index.js';
import type { Component } from '../measure/index.js';
import type { RigProfile } from '../profile/index.js';
import type { Rig } from '../rig/index.js';
import { switchOnWithCare } from './load-with-care.js';
import { readingOf, SETTLE_S } from './take-reading.js';
import { watchChannel } from './watched-channel.js';

export interface LoadAsked {
  channel: Channel;
  position: Position;
  rigProfile: RigProfile;
}

export interface LoadFollowed {
  /** Once, when the load is steady. */
  onSteady(value: number, leftS: number): void;
  /** Asked many times a second: what the person has pressed, if anything. */
  pressed(): 'enter' | 'outputs-off' | 'leave' | undefined;
  /** Once a look, while the load is on and steady. */
  onLook?(): void;
}

export type LoadRead =
  | ({ kind: 'read'; value: number } & Component)
  | { kind: 'not-steady' | 'outputs-off' | 'leave' }
  | { kind: 'stopped' | 'refused'; sentence: string };

const LOOK_S = 0.05;
/** Two such stretches that agree are steady, and the last of them is the reading. */
const STRETCH_S = 0.5;
/** A motor that warms creeps by about as much a second (common practice, no source). */
const STEADY_PART = 0.01;
/** Without a throw the board sets no end; a load that is read for longer only gets hot. */
export const LONGEST_S = 20;
/** Kept free before the board would end a throw itself, which is a stop. */
const MARGIN_S = 0.3;

export async function steadyLoad(rig: Rig, asked: LoadAsked, followed: LoadFollowed): Promise<LoadRead> {
  const { channel, position, rigProfile } = asked;
  const { perCount } = rigProfile.scales[channel];
  const looks: Float64Array[][] = [];
  const watched = watchChannel(rig, channel);
  const holdS = position === 'rest' ? LONGEST_S : rig.facts.longestHoldS;
  const perStretch = Math.round(STRETCH_S / LOOK_S);
  const stretch = (back: number) => {
    const end = looks.length - back * perStretch;
    return readingOf(looks.slice(end - perStretch, end).flat(), STRETCH_S, perCount);
  };
  let isSteady = false;
  try {
    await rig.clearStop();
    await rig.setTrip(rigProfile.trip);
    await rig.startStream();
    const care = { channel, position, holdS, rigProfile };
    const on = await switchOnWithCare(rig, care, () => !isOff(followed.pressed()));
    if (typeof on === 'object') return { kind: 'refused', sentence: on.refused };
    const fromS = rig.clock.nowS();
    for (;;) {
      await rig.clock.sleep(LOOK_S);
      const key = followed.pressed();
      if (isOff(key)) return { kind: key };
      const stopped = watched.stopped();
      if (stopped !== undefined) return { kind: 'stopped', sentence: stopped };
      const fresh = watched.taken();
      if (rig.clock.nowS() - fromS > SETTLE_S) looks.push(fresh);
      const leftS = holdS - MARGIN_S - (rig.clock.nowS() - fromS);
      if (!isSteady && looks.length >= 2 * perStretch) {
        const [before, now] = [stretch(1), stretch(0)];
        const apart = Math.abs(now.value - before.value);
        const noise = 2 * Math.hypot(now.standardUncertainty, before.standardUncertainty);
        isSteady = apart <= Math.max(noise, STEADY_PART * Math.abs(now.value));
        if (isSteady) followed.onSteady(now.value, leftS);
      }
      if (isSteady) followed.onLook?.();
      if (isSteady && key === 'enter') return { kind: 'read', ...stretch(0) };
      if (leftS <= 0) return isSteady ? { kind: 'read', ...stretch(0) } : { kind: 'not-steady' };
    }
  } catch (error) {
    // The board refuses what comes behind the outputs off of a key.
    const key = followed.pressed();
    if (isOff(key)) return { kind: key };
    throw error;
  } finally {
    watched.end();
    await rig.allOff();
    await rig.stopStream();
  }
}

const isOff = (key: ReturnType<LoadFollowed['pressed']>): key is 'outputs-off' | 'leave' =>
  key === 'outputs-off' || key === 'leave';
