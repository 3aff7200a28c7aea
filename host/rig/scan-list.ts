// Which channels are sampled fast and which slowly, as the list of slots that the board understands. Knows nothing of
// units: what a motor or a relay needs is named below, any other choice may be handed in.

import { BOARD, SCAN_LETTERS, type ScanLetter } from '../../firmware-protocol/index.js';
import type { Channel } from '../capture/index.js';

export interface ScanChoice {
  /** As often as the frame has room for, all equally often. */
  fast: readonly Channel[];
  /** Once a frame; more only where slots are left over. */
  slow: readonly Channel[];
}

/** Motor current and both leads at 5 kHz: what the board scans after a reset. */
export const MOTOR_SCAN: ScanChoice = {
  fast: ['motorCurrentA', 'leadAVoltageV', 'leadBVoltageV'],
  slow: ['feedCurrentA', 'coilCurrentA', 'supplyVoltageV'],
};

/** Coil current and both contacts, which the leads see, at 5 kHz. */
export const RELAY_SCAN: ScanChoice = {
  fast: ['coilCurrentA', 'leadAVoltageV', 'leadBVoltageV'],
  slow: ['feedCurrentA', 'motorCurrentA', 'supplyVoltageV'],
};

/** The board guards its outputs by these, so it takes no list without them (PROTOCOL.md, `set-scan`). */
const GUARDED: readonly Channel[] = ['motorCurrentA', 'feedCurrentA'];

const LETTER_OF = new Map(
  (Object.keys(SCAN_LETTERS) as ScanLetter[]).map((letter) => [SCAN_LETTERS[letter].channel, letter]),
);

/**
 * One letter a slot. Fast channels follow one another in rounds, one slow channel between two rounds, so that both are
 * spread over the frame.
 * @throws RangeError with what is wrong and the mend
 */
export function scanList({ fast, slow }: ScanChoice): string {
  const named = [...fast, ...slow];
  const twice = named.find((channel, i) => named.indexOf(channel) !== i);
  if (twice !== undefined) throw new RangeError(`scan names ${twice} twice; name it once, fast or slow`);
  const unknown = named.find((channel) => !LETTER_OF.has(channel));
  if (unknown !== undefined) throw new RangeError(`scan names ${unknown}, which is no channel of a rig`);
  if (fast.length === 0) throw new RangeError('scan names no fast channel; name at least one');
  const missing = GUARDED.filter((channel) => !named.includes(channel));
  if (missing.length > 0) {
    throw new RangeError(
      `scan leaves out ${missing.join(' and ')}, by which the board guards its outputs; add it to the slow channels`,
    );
  }
  const letters = (channels: readonly Channel[]): string[] =>
    channels.map((channel) => LETTER_OF.get(channel)!);
  const rounds = Math.floor((BOARD.slotCount - slow.length) / fast.length);
  const between = letters(slow);
  const others = letters(slow.length > 0 ? slow : fast);
  const spare = BOARD.slotCount - slow.length - rounds * fast.length;
  // Left over slots go to the slow channels in turn, or to the fast ones where there are no others.
  for (let i = 0; i < spare; i++) between.push(others[i % others.length]!);
  let list = '';
  let placed = 0;
  for (let round = 1; round <= rounds; round++) {
    list += letters(fast).join('');
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
  for (const letter of scan) {
    const { channel } = SCAN_LETTERS[letter as ScanLetter];
    rates[channel] = (rates[channel] ?? 0) + 1;
  }
  for (const channel of Object.keys(rates) as Channel[])
    rates[channel] = Math.round(rates[channel]! / frameS);
  return rates;
}

/** Grid points in a frame: one a sample of the channel that is sampled most often. */
export function pointsPerFrame(scan: string): number {
  return Math.max(...[...new Set(scan)].map((letter) => scan.split(letter).length - 1));
}
