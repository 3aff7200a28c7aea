// Lines other than frames, both ways: `>SS verb args CRC`, `<SS ok fields CRC`, `<SS no number detail CRC`, `!event fields CRC`.
// The CRC covers everything before it, the space in front of it included.

import { BOARD } from './board-constants.js';
import { crcDigits, hasValidCrc } from './crc16.js';
import { allowed, formatField, parseField, parseFields } from './fields.js';
import { type Frame, unpackFrame } from './frame.js';
import {
  type BoardEvent,
  EVENTS,
  type Field,
  type Message,
  REFUSALS,
  REQUESTS,
  type Refusal,
  type ReplyOf,
  type Request,
  type Verb,
} from './messages.js';

export type BoardLine =
  /** `seq` is undefined when the board could not read the number of what it refuses. */
  | { kind: 'ok'; seq: number; words: string[] }
  | { kind: 'refused'; seq: number | undefined; refusal: Refusal | undefined; number: number; detail: number }
  | { kind: 'event'; event: BoardEvent }
  | { kind: 'frame'; frame: Frame }
  /** Answer to a bare `*IDN?`: four comma-separated fields (IEEE 488.2), the only line without a CRC. */
  | { kind: 'identity'; fields: [maker: string, model: string, serial: string, firmware: string] }
  /** Damaged or unknown; never to be acted on. */
  | { kind: 'rubbish'; why: 'crc' | 'form' };

/** The bare identification query and nothing else may go without sequence number and CRC. */
export const IDENTIFY_LINE = '*IDN?\n';

/** With its newline. Throws a RangeError when an argument or the sequence number (0 to 255) is out of range. */
export function encodeRequest(seq: number, request: Request): string {
  const message: Message = REQUESTS[request.verb];
  const values = request as unknown as Record<string, unknown>;
  const words = message.args.map((field) => formatField(field, values[field.name]));
  const text = `>${seqDigits(seq)} ${[request.verb, ...words].join(' ')} `;
  const line = `${text}${crcDigits(text)}\n`;
  if (line.length > BOARD.requestMaxBytes)
    throw new RangeError(`request of ${line.length} bytes; at most ${BOARD.requestMaxBytes}`);
  return line;
}

/** Takes one line without its newline; a trailing carriage return is ignored. */
export function decodeLine(text: string): BoardLine {
  const line = text.endsWith('\r') ? text.slice(0, -1) : text;
  if (line.startsWith('~')) {
    const frame = unpackFrame(line);
    if (frame !== undefined) return { kind: 'frame', frame };
    return { kind: 'rubbish', why: hasValidCrc(line) ? 'form' : 'crc' };
  }
  if (line.startsWith('<') || line.startsWith('!')) {
    if (!hasValidCrc(line)) return { kind: 'rubbish', why: 'crc' };
    const body = line.slice(1, -4).trimEnd().split(' ');
    return (line.startsWith('<') ? decodeReply(body) : decodeEvent(body)) ?? { kind: 'rubbish', why: 'form' };
  }
  const fields = line.split(',');
  if (fields.length === 4 && fields.every((field) => /^[\x20-\x7e]+$/.test(field))) {
    return { kind: 'identity', fields: fields as [string, string, string, string] };
  }
  return { kind: 'rubbish', why: 'form' };
}

/** Reply fields of a verb by name; undefined when the words do not fit, which means another protocol version. */
export function readReply<V extends Verb>(verb: V, words: readonly string[]): ReplyOf<V> | undefined {
  return parseFields(REQUESTS[verb].reply, words) as ReplyOf<V> | undefined;
}

/** The first reply field of a verb that the words do not fit, and the word there; undefined when all fit. */
export function unreadField(
  verb: Verb,
  words: readonly string[],
): { field: Field; word: string | undefined } | undefined {
  const fields: readonly Field[] = REQUESTS[verb].reply;
  for (const [index, field] of fields.entries()) {
    const word = words[index];
    if (word === undefined ? field.since === undefined : parseField(field, word) === undefined)
      return { field, word };
  }
  return undefined;
}

/** A refusal as a sentence for people. */
export function refusalSentence(line: Extract<BoardLine, { kind: 'refused' }>, request?: Request): string {
  if (line.refusal === undefined)
    return `the board refused with number ${line.number}, which this program does not know`;
  const place =
    line.refusal.name === 'argument-value' && request
      ? REQUESTS[request.verb].args[line.detail - 1]
      : undefined;
  const more = place
    ? ` (${place.name}: ${allowed(place)})`
    : line.refusal.detail === '0'
      ? ''
      : ` (${line.refusal.detail}: ${line.detail})`;
  return `${line.refusal.sentence}${more}`;
}

function decodeReply([seqText = '', outcome, ...words]: string[]): BoardLine | undefined {
  const seq = /^[0-9A-F]{2}$/.test(seqText) ? Number.parseInt(seqText, 16) : undefined;
  if (seq === undefined && seqText !== '--') return undefined;
  if (outcome === 'ok') return seq === undefined ? undefined : { kind: 'ok', seq, words };
  if (outcome !== 'no' || words.length < 2 || !words.every((word) => /^[0-9]+$/.test(word))) return undefined;
  const [number, detail] = [Number(words[0]), Number(words[1])];
  return {
    kind: 'refused',
    seq,
    number,
    detail,
    refusal: REFUSALS.find((refusal) => refusal.number === number),
  };
}

function decodeEvent([name = '', ...words]: string[]): BoardLine | undefined {
  if (!Object.hasOwn(EVENTS, name)) return undefined;
  const values = parseFields(EVENTS[name as keyof typeof EVENTS].fields, words);
  return values && { kind: 'event', event: { name, ...values } as unknown as BoardEvent };
}

export function seqDigits(seq: number): string {
  if (!Number.isInteger(seq) || seq < 0 || seq > 255)
    throw new RangeError(`sequence number is ${seq}; allowed: 0 to 255`);
  return seq.toString(16).toUpperCase().padStart(2, '0');
}
