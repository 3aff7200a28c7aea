// A capture as one compressed blob, exact to the bit: a JSON header, then time, positions, feed where the header says
// so, and channels as columns.
// Bytes of equal weight stand together before compression, which halves the size of converter readings.
//
//   "TBC1" | header length u32 LE | deflate( header JSON | time f64 LE | position u8 | feed u8, or not | channels f64 LE … )

import { deflateSync, inflateSync } from 'node:zlib';
import { byteAt, itemAt } from '../arrays/index.js';
import { type Capture, type Channel, FEEDS, POSITIONS, sampledChannels } from '../capture/index.js';
import { known } from '../fields/index.js';

const MAGIC = 'TBC1';
const HEAD_BYTES = 8;

interface Header {
  samples: number;
  channels: Channel[];
  gaps: Capture['gaps'];
  sampleRateHz: number;
  notes: string[];
  positionKnown?: boolean;
  /** A column of the feed follows the positions. Blobs written before there was one lack it. */
  feedKnown?: true;
  coilFeed?: 'limited';
  extraColumns?: Record<string, string[]>;
}

export function packCapture(capture: Capture): Buffer {
  const sampled = sampledChannels(capture.channels);
  const { gaps, sampleRateHz, notes, positionKnown, coilFeed, extraColumns } = capture;
  const header: Header = {
    samples: capture.timeS.length,
    channels: sampled.map(([channel]) => channel),
    ...{ gaps, sampleRateHz, notes },
    ...known({ positionKnown, feedKnown: capture.feed && (true as const), coilFeed, extraColumns }),
  };
  const text = Buffer.from(JSON.stringify(header), 'utf8');
  const head = Buffer.alloc(HEAD_BYTES);
  head.write(MAGIC, 'latin1');
  head.writeUInt32LE(text.length, 4);
  const positions = Uint8Array.from(capture.position, (word) => POSITIONS.indexOf(word));
  const columns = [
    shuffled(capture.timeS),
    positions,
    ...(capture.feed ? [Uint8Array.from(capture.feed, (word) => FEEDS.indexOf(word))] : []),
    ...sampled.map(([, values]) => shuffled(values)),
  ];
  return Buffer.concat([head, deflateSync(Buffer.concat([text, ...columns]), { level: 4 })]);
}

/** @throws RangeError when the blob is not one of packCapture. */
export function unpackCapture(blob: Uint8Array): Capture {
  const bytes = Buffer.from(blob.buffer, blob.byteOffset, blob.byteLength);
  if (bytes.toString('latin1', 0, 4) !== MAGIC) throw new RangeError('not a capture blob');
  const headerLength = bytes.readUInt32LE(4);
  const body = inflateSync(bytes.subarray(HEAD_BYTES));
  const header = JSON.parse(body.toString('utf8', 0, headerLength)) as Header;
  const { samples } = header;
  const marks = header.feedKnown ? 2 : 1;
  if (body.length !== headerLength + samples * (8 + marks + 8 * header.channels.length)) {
    throw new RangeError('a capture blob of the wrong length');
  }
  let at = headerLength;
  const take = (length: number): Buffer => {
    at += length;
    return body.subarray(at - length, at);
  };
  const timeS = unshuffled(take(8 * samples));
  const position = Array.from(take(samples), (index) => itemAt(POSITIONS, index));
  const feed = header.feedKnown && Array.from(take(samples), (index) => itemAt(FEEDS, index));
  const channels: Capture['channels'] = {};
  for (const name of header.channels) channels[name] = unshuffled(take(8 * samples));
  const { gaps, sampleRateHz, notes, positionKnown, coilFeed, extraColumns } = header;
  const optional = known({ positionKnown, feed, coilFeed, extraColumns });
  return { timeS, position, channels, gaps, sampleRateHz, notes, ...optional };
}

/** Byte k of every value together, k = 0 to 7. */
function shuffled(values: Float64Array): Uint8Array {
  const bytes = new Uint8Array(values.buffer, values.byteOffset, values.byteLength);
  const out = new Uint8Array(bytes.length);
  const count = values.length;
  for (let k = 0; k < 8; k++) for (let i = 0; i < count; i++) out[k * count + i] = byteAt(bytes, 8 * i + k);
  return out;
}

function unshuffled(bytes: Uint8Array): Float64Array<ArrayBuffer> {
  const values = new Float64Array(bytes.length / 8);
  const out = new Uint8Array(values.buffer);
  const count = values.length;
  for (let k = 0; k < 8; k++) for (let i = 0; i < count; i++) out[8 * i + k] = byteAt(bytes, k * count + i);
  return values;
}
