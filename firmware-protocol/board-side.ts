// The board's half of the protocol in TypeScript: for tests and stand-ins of a board, never for the host's work.

import { crcDigits, hasValidCrc } from './crc16.js';
import { parseFields } from './fields.js';
import { seqDigits } from './lines.js';
import { type Message, REQUESTS, type Request } from './messages.js';

/** Any line but a frame, closed with CRC and newline: `sealLine('<01 ok')`. */
export function sealLine(body: string): string {
  return `${body} ${crcDigits(`${body} `)}\n`;
}

export function encodeOk(seq: number, ...words: (string | number)[]): string {
  return sealLine([`<${seqDigits(seq)} ok`, ...words].join(' '));
}

export function encodeRefusal(seq: number | undefined, number: number, detail = 0): string {
  return sealLine(`<${seq === undefined ? '--' : seqDigits(seq)} no ${number} ${detail}`);
}

export function encodeEvent(...words: (string | number)[]): string {
  return sealLine(`!${words.join(' ')}`);
}

/** Undefined when the line (without newline) is no valid request. */
export function decodeRequest(line: string): { seq: number; request: Request } | undefined {
  if (!hasValidCrc(line)) return undefined;
  const match = /^>([0-9A-F]{2}) ([a-z-]+)((?: [^ ]+)*) $/.exec(line.slice(0, -4));
  if (!match || !Object.hasOwn(REQUESTS, match[2]!)) return undefined;
  const words = match[3]!.split(' ').slice(1);
  const message: Message = REQUESTS[match[2] as keyof typeof REQUESTS];
  const values = words.length === message.args.length ? parseFields(message.args, words) : undefined;
  return (
    values && {
      seq: Number.parseInt(match[1]!, 16),
      request: { verb: match[2], ...values } as unknown as Request,
    }
  );
}
