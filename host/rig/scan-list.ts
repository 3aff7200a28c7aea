// Which channels are sampled fast and which slowly, as the list of slots that the board understands. What a motor or a
// relay needs fast stands in the channels' records; any other choice may be handed in.

import { BOARD } from '../../firmware-protocol/index.js';
import { itemAt } from '../arrays/index.js';
import {
  CHANNEL,
  type Channel,
  channelOfLetter,
  fineLetterOf,
  letterOf,
  RIG_CHANNELS,
} from '../capture/index.js';

export interface ScanChoice {
  /** As often as the frame has room for, all equally often. */
  fast: readonly Channel[];
  /** Once a frame; more only where slots are left over. */
  slow: readonly Channel[];
  /** Of the fast ones, those read by their finer input; the plain one then stands among the slow, for what is beyond it. */
  fine?: readonly Channel[];
}

const choiceFor = (unit: 'motor' | 'relay'): ScanChoice => {
  const isFast = (channel: Channel): boolean => CHANNEL[channel].fastFor?.includes(unit) === true;
  return { fast: RIG_CHANNELS.filter(isFast), slow: RIG_CHANNELS.filter((channel) => !isFast(channel)) };
};

/** Motor current and both leads at 5 kHz: what the board scans after a reset. */
export const MOTOR_SCAN: ScanChoice = choiceFor('motor');

/** The same for a motor so small that the finer amplifier sees all of it. */
export const SMALL_MOTOR_SCAN: ScanChoice = { ...MOTOR_SCAN, fine: ['motorCurrentA'] };

/** Coil current and both contacts, which the leads see, at 5 kHz. */
export const RELAY_SCAN: ScanChoice = choiceFor('relay');

const named = (channels: readonly Channel[]): string =>
  channels.map((channel) => CHANNEL[channel].words).join(' and ');

/**
 * One letter a slot. Fast channels follow one another in rounds, one slow channel between two rounds, so that both are
 * spread over the frame.
 * @throws RangeError with what is wrong and the mend.
 */
export function scanList({ fast, slow, fine = [] }: ScanChoice): string {
  const wanted = [...fast, ...slow];
  const twice = wanted.find((channel, i) => wanted.indexOf(channel) !== i);
  if (twice !== undefined)
    throw new RangeError(`the scan has ${named([twice])} twice; name it once, fast or slow`);
  if (fast.length === 0) throw new RangeError('the scan has no fast channel; name at least one');
  const missing = RIG_CHANNELS.filter((channel) => CHANNEL[channel].isGuard && !wanted.includes(channel));
  if (missing.length > 0) {
    throw new RangeError(
      `the scan leaves out ${named(missing)}, by which the board guards its outputs; add it to the slow channels`,
    );
  }
  const strangers = fine.filter((channel) => !fast.includes(channel));
  if (strangers.length > 0)
    throw new RangeError(
      `the scan reads ${named(strangers)} finely but not fast; add it to the fast channels`,
    );
  const quick = fast.map((channel) => (fine.includes(channel) ? fineLetterOf(channel) : letterOf(channel)));
  const between = [...fine, ...slow].map(letterOf);
  const rounds = Math.floor((BOARD.slotCount - between.length) / fast.length);
  const others = between.length > 0 ? [...between] : quick;
  const spare = BOARD.slotCount - between.length - rounds * fast.length;
  // Left over slots go to the slow channels in turn, or to the fast ones where there are no others.
  for (let i = 0; i < spare; i++) between.push(itemAt(others, i % others.length));
  let list = '';
  let placed = 0;
  for (let round = 1; round <= rounds; round++) {
    list += quick.join('');
    // One after each round while they last; more at a time where there are more of them than rounds.
    const upTo =
      between.length > rounds
        ? Math.ceil((round * between.length) / rounds)
        : Math.min(round, between.length);
    list += between.slice(placed, upTo).join('');
    placed = upTo;
  }
  return list;
}

/** How often a second each channel of a list is sampled. */
export function channelRatesHz(scan: string, frameS: number): Partial<Record<Channel, number>> {
  const rates: Partial<Record<Channel, number>> = {};
  for (const letter of new Set(scan)) {
    const channel = channelOfLetter(letter);
    rates[channel] = Math.max(rates[channel] ?? 0, Math.round(countOf(letter, scan) / frameS));
  }
  return rates;
}

const countOf = (letter: string, scan: string): number => scan.split(letter).length - 1;

/** Grid points in a frame: one a sample of the channel that is sampled most often. */
export function pointsPerFrame(scan: string): number {
  return Math.max(...[...new Set(scan)].map((letter) => countOf(letter, scan)));
}
