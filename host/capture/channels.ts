// The channels and all that is asked of one, each in one record. Whoever needs to know something else of a channel
// gives the record a field: nothing is learnt from a channel's name.

import type { ScanLetter } from '../../firmware-protocol/index.js';
import type { Position } from './positions.js';

export interface ChannelRecord {
  /** Of its readings. */
  unit: 'A' | 'V';
  /** At the head of a trace or of a row. */
  label: string;
  /** In a sentence. */
  words: string;
  /** Beside a reading, whose unit says the rest. */
  short: string;
  /** Of a capture file (CSV). */
  column: string;
  /** By which the board's scan list and bursts know it; absent where no rig reads it. */
  letter?: ScanLetter;
  /** Of a second input that reads the same finely, over the small part of the range that it sees. */
  fineLetter?: ScanLetter;
  /** Where a rig reads it, among the rig's own places in a circuit. */
  at: { current: string } | { voltage: string };
  /** The units whose run wants it sampled fast; for others once a frame is enough. */
  fastFor?: readonly ('motor' | 'relay')[];
  /** The board guards its outputs by it, so that no scan list may lack it (PROTOCOL.md, `set-scan`). */
  isGuard?: true;
  /** Its sign says which way, so that a plus is shown too. */
  isSigned?: true;
  /** Of a live reading. */
  decimals: number;
  /** No band of good readings is narrower: what a circuit at rest may show and a good joint may drop (the limits of those checks). */
  leastReach: number;
  /** Drawn as a trace while it is sampled; the others are told in a line. */
  isTraced?: true;
  /** What is thrown while a known load is read, unless somebody says. */
  loadedAt: Position;
  /** In a picture; `legend` where the short name says too little there. */
  picture: { panel: 'Current' | 'Voltage to ground' | 'Coil current'; ink: Ink; legend?: string };
}

/** A line's colour and dash in a picture, by name. */
export type Ink = 'brown' | 'blue' | 'green' | 'grey' | 'red';

/** In the order that is kept everywhere: files, protocol, screens. */
const RECORDS = {
  feedCurrentA: {
    unit: 'A',
    label: 'Feed current',
    words: 'the feed current',
    short: 'feed',
    column: 'feed_current_A',
    letter: 'F',
    at: { current: 'rig.feed-shunt' },
    isGuard: true,
    decimals: 1,
    leastReach: 0.2,
    loadedAt: 'rest',
    picture: { panel: 'Current', ink: 'brown' },
  },
  motorCurrentA: {
    unit: 'A',
    label: 'Motor current',
    words: 'the motor current',
    short: 'motor',
    column: 'motor_current_A',
    letter: 'M',
    fineLetter: 'N',
    at: { current: 'rig.motor-shunt' },
    fastFor: ['motor'],
    isGuard: true,
    isSigned: true,
    decimals: 1,
    leastReach: 0.2,
    isTraced: true,
    loadedAt: 'forward',
    picture: { panel: 'Current', ink: 'blue', legend: 'motor (into lead A)' },
  },
  coilCurrentA: {
    unit: 'A',
    label: 'Coil current',
    words: 'the coil current',
    short: 'coil',
    column: 'coil_current_A',
    letter: 'C',
    at: { current: 'rig.coil-shunt' },
    fastFor: ['relay'],
    decimals: 2,
    leastReach: 0.01,
    loadedAt: 'forward',
    picture: { panel: 'Coil current', ink: 'green', legend: 'coil feed' },
  },
  leadAVoltageV: {
    unit: 'V',
    label: 'Lead A',
    words: 'lead A',
    short: 'lead A',
    column: 'lead_a_V',
    letter: 'A',
    at: { voltage: 'rig.motor-a' },
    fastFor: ['motor', 'relay'],
    isSigned: true,
    decimals: 1,
    leastReach: 0.2,
    isTraced: true,
    loadedAt: 'forward',
    picture: { panel: 'Voltage to ground', ink: 'blue' },
  },
  leadBVoltageV: {
    unit: 'V',
    label: 'Lead B',
    words: 'lead B',
    short: 'lead B',
    column: 'lead_b_V',
    letter: 'B',
    at: { voltage: 'rig.motor-b' },
    fastFor: ['motor', 'relay'],
    isSigned: true,
    decimals: 1,
    leastReach: 0.2,
    isTraced: true,
    loadedAt: 'reverse',
    picture: { panel: 'Voltage to ground', ink: 'red' },
  },
  supplyVoltageV: {
    unit: 'V',
    label: 'Supply',
    words: 'the supply voltage',
    short: 'supply',
    column: 'supply_V',
    letter: 'S',
    at: { voltage: 'rig.supply' },
    decimals: 1,
    leastReach: 0.2,
    loadedAt: 'rest',
    picture: { panel: 'Voltage to ground', ink: 'grey' },
  },
} satisfies Record<string, ChannelRecord>;

export type Channel = keyof typeof RECORDS;

/** What is known of each. */
export const CHANNEL: Readonly<Record<Channel, ChannelRecord>> = RECORDS;

export const CHANNELS = Object.keys(RECORDS) as readonly Channel[];

/** Those that a rig reads; others come with captures of other instruments. */
export const RIG_CHANNELS = CHANNELS.filter((channel) => CHANNEL[channel].letter !== undefined);

/** One value for every channel. */
export const perChannel = <T>(of: (channel: Channel) => T): Record<Channel, T> =>
  Object.fromEntries(CHANNELS.map((channel) => [channel, of(channel)])) as Record<Channel, T>;

/** The board's name for a channel. @throws RangeError for one that no rig reads. */
export function letterOf(channel: Channel): ScanLetter {
  const { letter, words } = CHANNEL[channel];
  if (letter === undefined) throw new RangeError(`no rig reads ${words}`);
  return letter;
}

/** The board's name for the input that reads a channel finely. @throws RangeError for one that no rig reads so. */
export function fineLetterOf(channel: Channel): ScanLetter {
  const { fineLetter, words } = CHANNEL[channel];
  if (fineLetter === undefined) throw new RangeError(`no rig reads ${words} finely`);
  return fineLetter;
}

/** The channel that the board knows by this letter, read finely or not. @throws RangeError when there is none. */
export function channelOfLetter(letter: string): Channel {
  const found = CHANNELS.find(
    (channel) => CHANNEL[channel].letter === letter || CHANNEL[channel].fineLetter === letter,
  );
  if (found === undefined) throw new RangeError(`no channel has the letter ${letter}`);
  return found;
}
