// A load that nobody has tested yet, switched on: first with the rig's own inputs looked at, then the coils behind their limiter
// and the feed behind its 12 Ohm, so that a short at the clips is found at an ampere; only then straight.

import { sampleAt } from '../arrays/index.js';
import { COIL_STOP, impossibleWhileOff, type RigFault } from '../bench/index.js';
import { type Capture, CHANNELS, type Channel, type Position } from '../capture/index.js';
import { LEAST_COIL_OHM } from '../measure/index.js';
import type { RigProfile } from '../profile/index.js';
import type { Rig } from '../rig/index.js';
import { amount, milli } from '../tell/index.js';

export interface CareAsked {
  channel: Channel;
  position: Position;
  /** Of the throw with the full feed, where there is one. */
  holdS: number;
  rigProfile: RigProfile;
}

/** How a look while everything is off went: what the rig misreads, if anything. */
const OFF_S = 0.1;
/** Contacts close and bounce, coils settle (L/R of a few milliseconds): what is read is read behind this. */
const CLOSES_S = 0.12;
const READ_S = 0.08;
/** The board ends a limited throw by itself soon after. */
const LIMITED_HOLD_S = 0.6;
/** Less is a channel's offset, and no current. */
const COIL_FLOWS_A = 0.02;
const FEED_FLOWS_A = 0.2;

type Means = Partial<Record<Channel, number>>;

/**
 * Leaves the load on: full feed, thrown. Needs a running stream, limits set and everything off. A sentence why the full feed was
 * kept off instead, outputs off; `over` where `isWanted` says no in between.
 * @throws RigFault for a channel that reads what no load can cause
 */
export async function switchOnWithCare(
  rig: Rig,
  asked: CareAsked,
  isWanted: () => boolean = () => true,
): Promise<{ refused: string } | 'on' | 'over'> {
  const { channel, position, holdS, rigProfile } = asked;
  const watched = watchAll(rig);
  try {
    const misread = await readsWhileOff(rig, rigProfile, { needsSupply: true, watched });
    if (misread !== undefined) throw misread;
    const thrown = async (longestS: number): Promise<void> => {
      if (position !== 'rest') await rig.setPosition(position, longestS);
    };
    let refused: string | undefined;
    // Coils that hang on the rig draw through it: the reading of a known load there is that of its limiter too (RIG.md, section 8).
    const coil = channel === 'coilCurrentA' ? undefined : () => rig.setCoilFeed?.('full');
    for (const step of [
      () => rig.arm(),
      () => rig.setFeed('limited'),
      () => thrown(Math.min(LIMITED_HOLD_S, rig.facts.longestHoldS)),
      () => rig.clock.sleep(CLOSES_S),
      async () => {
        watched.taken();
        await rig.clock.sleep(READ_S);
        refused = whyNotStraight(watched.taken().means, rigProfile);
        if (refused !== undefined) await rig.allOff();
        else if (position !== 'rest') await rig.setPosition('rest', 0);
      },
      async () => coil?.(),
      () => rig.setFeed('full'),
      () => thrown(holdS),
    ]) {
      if (!isWanted()) return 'over';
      await step();
      if (refused !== undefined) return { refused };
    }
    return 'on';
  } finally {
    watched.end();
  }
}

/** What a channel reads with everything off that no load can cause; undefined where nothing. Needs a running stream. */
export async function readsWhileOff(
  rig: Rig,
  rigProfile: RigProfile,
  { needsSupply, watched: own }: { needsSupply: boolean; watched?: Watched },
): Promise<RigFault | undefined> {
  const watched = own ?? watchAll(rig);
  try {
    await rig.clock.sleep(OFF_S);
    const { channels } = watched.taken();
    const look = { rig: rigProfile, hasCoilLimiter: rig.setCoilFeed !== undefined, needsSupply };
    return impossibleWhileOff({ channels }, look);
  } finally {
    if (own === undefined) watched.end();
  }
}

/** Why the straight feeds may not follow on the limited ones; undefined where they may. Pure. */
export function whyNotStraight(
  {
    supplyVoltageV: supplyV,
    feedCurrentA: feedA,
    coilCurrentA: coilA,
    leadAVoltageV = 0,
    leadBVoltageV = 0,
  }: Means,
  {
    limitedFeedOhm,
    limitedCoilFeedOhm,
    trip,
  }: Pick<RigProfile, 'limitedFeedOhm' | 'limitedCoilFeedOhm' | 'trip'>,
): string | undefined {
  if (supplyV === undefined) return undefined;
  if (limitedCoilFeedOhm !== undefined && coilA !== undefined && coilA > COIL_FLOWS_A) {
    const behindOhm = supplyV / coilA - limitedCoilFeedOhm;
    if (behindOhm < LEAST_COIL_OHM)
      return `the coil feed is shorted: ${milli(coilA, 'A')} flows through its limiter, more than coils could draw; no full feed was applied. ${COIL_STOP.advice}`;
  }
  if (feedA === undefined || feedA < FEED_FLOWS_A) return undefined;
  // With less in the circuit the board would trip at once.
  const leastOhm = supplyV / Math.min(trip.feedCurrentA, trip.motorCurrentA);
  const outsideOhm = supplyV / feedA - limitedFeedOhm;
  // A lead that stands up behind the limiter has that much between itself and ground, whatever the current's offset makes of it.
  const standsOhm = Math.max(leadAVoltageV, leadBVoltageV) / feedA;
  if (Math.max(outsideOhm, standsOhm) >= leastOhm) return undefined;
  return `a short at the load: ${amount(feedA, 'A', 2)} flows through the limited feed, so less than ${amount(leastOhm, 'Ω', 1)} is left; the full feed was never applied. Look at clips and load, and measure the load with a meter`;
}

interface Watched {
  /** What came since the last time that this was asked. */
  taken(): Pick<Capture, 'channels'> & { means: Means };
  end(): void;
}

function watchAll(rig: Rig): Watched {
  let fresh: Partial<Record<Channel, number[]>> = {};
  const end = rig.onEvent((event) => {
    if (event.kind !== 'samples') return;
    for (const channel of CHANNELS) {
      const values = event.block.channels[channel];
      if (values === undefined) continue;
      const own = fresh[channel] ?? [];
      fresh[channel] = own;
      for (let i = 0; i < values.length; i++) {
        const value = sampleAt(values, i);
        if (!Number.isNaN(value)) own.push(value);
      }
    }
  });
  return {
    taken() {
      const all = Object.entries(fresh) as [Channel, number[]][];
      fresh = {};
      const some = all.filter(([, values]) => values.length > 0);
      return {
        channels: Object.fromEntries(some.map(([channel, values]) => [channel, Float64Array.from(values)])),
        means: Object.fromEntries(
          some.map(([channel, values]) => [
            channel,
            values.reduce((sum, value) => sum + value, 0) / values.length,
          ]),
        ),
      };
    },
    end,
  };
}
