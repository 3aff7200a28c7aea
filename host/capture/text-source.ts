// Whatever a file's characters are encoded in, its bytes come out as UTF-8. UTF-16 is known by its mark, or by a zero in
// every second byte of its beginning (The Unicode Standard, 23.8; instruments that write without mark are common).

import { InputError } from '../input/index.js';

export type ReadBytes = (into: Uint8Array, at: number, length: number) => number;

const CHUNK = 1 << 16;

/** @param sizeBytes of the file. @throws InputError for what is no text at all. */
export function utf8Of(read: ReadBytes, fileName: string): ReadBytes {
  const head = new Uint8Array(CHUNK);
  const filled = fill(read, head);
  const coding = codingOf(head.subarray(0, filled), fileName);
  const first = head.subarray(0, filled);
  if (coding === undefined) return chained(first, read);
  const decoder = new TextDecoder(coding);
  const source = chained(first, read);
  const raw = new Uint8Array(CHUNK);
  let ready: Uint8Array = new Uint8Array(0);
  let isDone = false;
  return (into, at, length) => {
    while (ready.length === 0 && !isDone) {
      const count = source(raw, 0, raw.length);
      isDone = count === 0;
      ready = Buffer.from(decoder.decode(raw.subarray(0, count), { stream: !isDone }), 'utf8');
    }
    const part = ready.subarray(0, length);
    into.set(part, at);
    ready = ready.subarray(part.length);
    return part.length;
  };
}

function codingOf(head: Uint8Array, file: string): 'utf-16le' | 'utf-16be' | undefined {
  const [first, second, third, fourth] = head;
  if (first === 0xff && second === 0xfe) return 'utf-16le';
  if (first === 0xfe && second === 0xff) return 'utf-16be';
  if (first === 0x50 && second === 0x4b && third === 3 && fourth === 4)
    throw new InputError({
      file,
      what: 'is a spreadsheet or an archive, not text',
      mend: 'export it as CSV',
    });
  const some = head.subarray(0, 512);
  const zeros = [0, 0];
  for (let i = 0; i < some.length; i++) if (some[i] === 0) zeros[i % 2] = (zeros[i % 2] ?? 0) + 1;
  const [even = 0, odd = 0] = zeros;
  if (even === 0 && odd === 0) return undefined;
  if (even === 0 && odd > 0.35 * some.length) return 'utf-16le';
  if (odd === 0 && even > 0.35 * some.length) return 'utf-16be';
  throw new InputError({ file, what: 'is not text but binary data', mend: 'export it as CSV' });
}

function fill(read: ReadBytes, into: Uint8Array): number {
  let at = 0;
  while (at < into.length) {
    const count = read(into, at, into.length - at);
    if (count === 0) break;
    at += count;
  }
  return at;
}

/** First what was read ahead, then the rest. */
function chained(ahead: Uint8Array, read: ReadBytes): ReadBytes {
  let left = ahead;
  return (into, at, length) => {
    if (left.length === 0) return read(into, at, length);
    const part = left.subarray(0, length);
    into.set(part, at);
    left = left.subarray(part.length);
    return part.length;
  };
}
