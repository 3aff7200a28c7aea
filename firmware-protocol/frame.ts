// One frame line: a millisecond of samples. `~` number(3) flags(1) since(1) samples(30) CRC(4); six bits a character, '0' + value.

import { BOARD } from './board-constants.js';
import { crcDigits, hasValidCrc } from './crc16.js';
import { FEEDS, MODES, POSITIONS } from './messages.js';

const SLOTS = BOARD.slotCount;
const SAMPLES_AT = 6;
const SAMPLE_CHARS = (SLOTS * BOARD.adcBits) / 6;
/** Length without the newline. */
export const FRAME_CHARS = SAMPLES_AT + SAMPLE_CHARS + 4;
/** Frame numbers run from 0 to this and start again. */
export const FRAME_NUMBER_SPAN = 1 << 18;

export interface Frame {
  /** Counts frames since `stream on`; a jump is a gap. */
  number: number;
  /** At the end of the frame. */
  position: (typeof POSITIONS)[number];
  feed: (typeof FEEDS)[number];
  mode: (typeof MODES)[number];
  /** First slot sampled in `position`; slots before it saw the position of the frame before. 0: the whole frame. */
  sinceSlot: number;
  /** One count a slot, in the order of the scan list. */
  counts: Uint16Array;
}

/** Undefined when the line is no whole, undamaged frame. `counts` may be handed in to save the allocation. */
export function unpackFrame(line: string, counts: Uint16Array = new Uint16Array(SLOTS)): Frame | undefined {
  if (line.length !== FRAME_CHARS || line.charCodeAt(0) !== 126 || !hasValidCrc(line)) return undefined;
  for (let i = 1; i < SAMPLES_AT + SAMPLE_CHARS; i++)
    if ((line.charCodeAt(i) - 48) >>> 6 !== 0) return undefined;
  const flags = line.charCodeAt(4) - 48;
  const position = POSITIONS[flags & 3];
  const feed = FEEDS[(flags >> 2) & 3];
  const mode = MODES[(flags >> 4) & 3];
  if (position === undefined || feed === undefined || mode === undefined) return undefined;
  unpackInto(counts, line, SAMPLES_AT);
  return { number: sixBits(line, 1, 3), position, feed, mode, sinceSlot: line.charCodeAt(5) - 48, counts };
}

/** Samples of an answer to `burst-read`: five characters for three. */
export function unpackSamples(text: string): Uint16Array {
  const counts = new Uint16Array(Math.floor(text.length / 5) * 3);
  unpackInto(counts, text, 0);
  return counts;
}

/** Three 10-bit samples fill five characters, most significant bits first. */
function unpackInto(counts: Uint16Array, text: string, from: number): void {
  for (let slot = 0, at = from; slot < counts.length; slot += 3, at += 5) {
    const high = ((text.charCodeAt(at) - 48) << 6) | (text.charCodeAt(at + 1) - 48);
    const middle = text.charCodeAt(at + 2) - 48;
    const low = ((text.charCodeAt(at + 3) - 48) << 6) | (text.charCodeAt(at + 4) - 48);
    counts[slot] = high >> 2;
    counts[slot + 1] = ((high & 3) << 8) | (middle << 2) | (low >> 10);
    counts[slot + 2] = low & 0x3ff;
  }
}

/** The board's side of `unpackFrame`, for tests and stand-ins of a board. Without the newline. */
export function packFrame(frame: Frame): string {
  const flags =
    POSITIONS.indexOf(frame.position) | (FEEDS.indexOf(frame.feed) << 2) | (MODES.indexOf(frame.mode) << 4);
  let text = `~${chars(frame.number, 3)}${chars(flags, 1)}${chars(frame.sinceSlot, 1)}`;
  for (let slot = 0; slot < SLOTS; slot += 3) {
    const [a = 0, b = 0, c = 0] = frame.counts.subarray(slot, slot + 3);
    text += chars((a << 2) | (b >> 8), 2) + chars((b >> 2) & 63, 1) + chars(((b & 3) << 10) | c, 2);
  }
  return text + crcDigits(text);
}

function sixBits(line: string, at: number, count: number): number {
  let value = 0;
  for (let i = 0; i < count; i++) value = (value << 6) | (line.charCodeAt(at + i) - 48);
  return value;
}

function chars(value: number, count: number): string {
  let text = '';
  for (let i = count - 1; i >= 0; i--) text += String.fromCharCode(48 + ((value >> (6 * i)) & 63));
  return text;
}
