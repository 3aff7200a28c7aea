// What is wrong with the rig itself, found before the unit meets the full feed: told with the marks of its parts, and the run
// is refused. Nothing is said of the unit.

import { sampleAt } from '../arrays/index.js';
import { CHANNEL } from '../capture/index.js';
import { LinkError } from '../link/index.js';
import type { Rig, StuckBit } from '../rig/index.js';

/** As RIG.md and its sheets mark them. */
export type RigPart =
  | 'F1'
  | 'F2'
  | 'F4'
  | 'S0'
  | 'KL'
  | 'KB'
  | 'Q1'
  | 'Q2'
  | 'Q4'
  | 'Q5'
  | 'Q6'
  | 'U1'
  | 'U2'
  | 'U3'
  | 'U4'
  | 'U6'
  | 'RS1'
  | 'RS2'
  | 'RS3';

export class RigFault extends Error {
  override readonly name = 'RigFault';
  readonly code = 'rig-fault';

  constructor(
    sentence: string,
    readonly advice: string,
    /** Any of them explains it; the likeliest first. */
    readonly parts: readonly RigPart[],
  ) {
    super(sentence);
  }
}

const AGAIN = 'Renew it and start the unit again.';

const NO_SUPPLY = (): RigFault =>
  new RigFault(
    'No supply reaches the rig: its main fuse F1 has blown, the isolator S0 is off, or the battery is not connected.',
    'Switch S0 on, look at F1 and at the battery posts, then start the unit again.',
    ['F1', 'S0'],
  );
const LOOP_OPEN = (): RigFault =>
  new RigFault(
    'The stop loop is open although the rig has its supply: a stop button is pressed, or the fuse F2 has blown.',
    'Release the stop buttons. If they are released, look at F2, then start the unit again.',
    ['F2'],
  );
export const FEED_LIVE = (): RigFault =>
  new RigFault(
    'The feed is on although it is switched off: contact KL or KB of the rig has welded, its driver Q1 or Q2 is shorted, or the sense itself, Q4.',
    'Press the stop button, which breaks the feed by itself. Then find which part it is (RIG.md, section 5.8).',
    ['KB', 'KL', 'Q1', 'Q2', 'Q4'],
  );
export const NO_LIMITED_FEED = (): RigFault =>
  new RigFault(
    "The rig's limited feed does not reach the unit: KL does not close, or its driver Q1 is open; or F4, the fuse of the unit's feed, has blown.",
    `Look at F4. If it is whole, listen for KL when the feed comes on (RIG.md, section 5.8). ${AGAIN}`,
    ['KL', 'Q1', 'F4'],
  );
export const NO_FULL_FEED = (): RigFault =>
  new RigFault(
    "The rig's full feed does not come on: KB does not close, or its driver Q2 is open.",
    `Listen for KB when the feed comes on, and measure behind it (RIG.md, section 5.8). ${AGAIN}`,
    ['KB', 'Q2'],
  );
export const SENSE_LOST = (): RigFault =>
  new RigFault(
    "The rig's sense of the feed, Q4, says dead while the feed is on: a feed that sticks would not be seen.",
    `Look at Q4 and its resistors (RIG.md, section 5.8). ${AGAIN}`,
    ['Q4'],
  );
export const LIMITER_BRIDGED = (): RigFault =>
  new RigFault(
    "The coils' limiter in the rig is bridged: Q5 is shorted, and a shorted coil would meet the whole supply.",
    `Look at Q5 (RIG.md, section 5.13). ${AGAIN}`,
    ['Q5'],
  );
export const NO_FULL_COIL_FEED = (): RigFault =>
  new RigFault(
    'The relay coils stay on their limiter in the rig: Q5 or its driver Q6 does not switch on.',
    `Look at Q5 and Q6 (RIG.md, section 5.13). ${AGAIN}`,
    ['Q5', 'Q6'],
  );

export const COIL_UNREAD = (): RigFault =>
  new RigFault(
    "The relays close, yet the rig sees no coil current: their coils hang on another feed than the rig's coil feed, or the rig does not read it.",
    "Put the coils' common wire on the rig's coil feed. If it is there, look at RS3 and U3 of the rig (RIG.md, section 5.3).",
    ['RS3', 'U3'],
  );

/** A bit of the counts that never changes: every reading past it is off by what it is worth. */
export const BIT_STUCK = ({ channel, bit, isSet }: StuckBit): RigFault =>
  new RigFault(
    `The rig misreads ${CHANNEL[channel].words}: of its counts bit ${bit} is always ${isSet ? 'set' : 'clear'}, whatever flows. Nothing is said of the unit.`,
    "Flash the image again (FLASH.md). If it stays, renew the rig's board U6, calibrate, and start the unit again.",
    ['U6'],
  );

/** Refused because the stop loop is open (PROTOCOL.md, refusals). */
const STOP_LOOP_REFUSAL = 32;
const FEED_LIVE_REFUSAL = 39;
const LOOK_S = 0.06;
/** A battery that is there has more. */
const NO_SUPPLY_V = 3;

const isRefusal = (error: unknown, number: number): boolean =>
  error instanceof LinkError && error.details.refusal === number;
export const isLoopRefusal = (error: unknown): boolean => isRefusal(error, STOP_LOOP_REFUSAL);
export const isFeedLiveRefusal = (error: unknown): boolean => isRefusal(error, FEED_LIVE_REFUSAL);

/** What an open stop loop comes from, as far as the supply tells. Energises nothing. */
export async function whyLoopIsOpen(rig: Rig): Promise<RigFault> {
  let supplyV = Number.NaN;
  const unsubscribe = rig.onEvent((event) => {
    const values = event.kind === 'samples' ? event.block.channels.supplyVoltageV : undefined;
    for (let i = 0; values && i < values.length; i++) {
      const value = sampleAt(values, i);
      if (!Number.isNaN(value)) supplyV = value;
    }
  });
  try {
    await rig.startStream();
    await rig.clock.sleep(LOOK_S);
    await rig.stopStream();
  } finally {
    unsubscribe();
  }
  return supplyV < NO_SUPPLY_V ? NO_SUPPLY() : LOOP_OPEN();
}
