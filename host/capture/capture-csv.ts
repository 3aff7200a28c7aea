// Captures as CSV (RFC 4180), so that a capture taken by any instrument can be judged. Missing samples are empty
// cells; unknown columns are kept and ignored; numbers are written so that they read back as the same doubles.

import { closeSync, fstatSync, openSync, readSync } from 'node:fs';
import { displayPath, InputError, readFault } from '../profile/index.js';
import { ByteWindow } from './byte-window.js';
import { type Capture, FEEDS, POSITIONS } from './capture.js';
import { FEED_COLUMN } from './columns.js';
import { HEADER_HINT, readHeader, separatorOf } from './csv-header.js';
import { readRows, type WordColumn } from './csv-rows.js';
import { CsvScanner } from './csv-scanner.js';
import { missingStretches } from './gaps.js';
import { makeUniform, uniformRateHz } from './resample.js';

/** Samples of a larger file would not fit the memory of a small computer. */
const LARGEST_BYTES = 400_000_000;

/** @throws InputError when the file cannot be read or is not a capture. */
export function readCaptureFile(path: string, options: ReadOptions = {}): Capture {
  const name = displayPath(path);
  let file: number | undefined;
  const system = <T>(work: () => T): T => {
    try {
      return work();
    } catch (error) {
      throw new InputError({ file: name, ...readFault(error) }, { cause: error });
    }
  };
  try {
    const open = system(() => openSync(path, 'r'));
    file = open;
    const { size } = system(() => fstatSync(open));
    if (size > LARGEST_BYTES) {
      const what = `has ${Math.round(size / 1e6)} MB`;
      throw new InputError({ file: name, what, mend: 'cut it below 400 MB' });
    }
    const window = new ByteWindow((into, at, length) => system(() => readSync(open, into, at, length, null)));
    return readCapture(window, size, name, options);
  } finally {
    if (file !== undefined) closeSync(file);
  }
}

export interface ReadOptions {
  /** Rate of the samples of a file without a column of times; refused for a file with one. */
  sampleRateHz?: number;
  /** Name of the column that is the motor current, whatever it is called. */
  currentColumn?: string;
  /** Multiplies every current: a clamp meter's amperes a volt. */
  currentScale?: number;
}

/**
 * @param source the whole file; separator comma, semicolon (then with decimal point or comma) or tab, by its header.
 * @param fileName for messages.
 * @throws InputError naming the line and column of the first fault.
 */
export function readCaptureCsv(source: string, fileName: string, options: ReadOptions = {}): Capture {
  return readCapture(ByteWindow.over(source), source.length, fileName, options);
}

/** @param size of the whole in bytes, as far as it is known; 0 when not. @throws InputError as `readCaptureCsv`. */
export function readCapture(
  window: ByteWindow,
  size: number,
  fileName: string,
  options: ReadOptions = {},
): Capture {
  const scanner = new CsvScanner(window, fileName);
  scanner.separator = separatorOf(scanner.firstLine());
  if (!scanner.next())
    throw new InputError({ file: fileName, what: 'is empty', mend: `start it with ${HEADER_HINT}` });
  const columns = readHeader(scanner, fileName, options);
  // Without a header the first record is a sample already.
  if (!columns.hasHeader) scanner.back();
  const { time, channels: named } = columns;
  const fed = columns.extras.find(({ name }) => name === FEED_COLUMN);
  const extras = columns.extras.filter((column) => column !== fed);
  const rows = readRows(scanner, {
    columns,
    numbers: [...(time === undefined ? [] : [time]), ...named.map(({ index }) => index)],
    words: [
      ...(columns.position === undefined ? [] : [{ index: columns.position, words: POSITIONS }]),
      ...(fed ? [{ index: fed.index, words: FEEDS }] : []),
    ],
    texts: extras.map(({ index }) => index),
    time,
    // Rows are about as long as the first one; growing millions of samples step by step costs more than reading them.
    capacity: Math.ceil((1.1 * size) / Math.max(2, lengthOfRow(scanner))),
  });
  const { count } = rows;
  const notes = [...columns.notes];
  if (rows.hasDecimalCommas) notes.push('Decimal commas were read as decimal points.');
  const position = rows.words.find(({ index }) => index === columns.position);
  const feed = rows.words.find(({ index }) => index === fed?.index);
  if (position && position.held > 0)
    notes.push(`${position.held} empty positions were taken as the one before.`);
  if (feed && feed.held > 0) notes.push(`${feed.held} empty feeds were taken as the one before.`);
  // Views, not copies: the room that the estimate left over is a tenth.
  const cut = (samples: Float64Array): Float64Array =>
    samples.length > 1.2 * count ? samples.slice(0, count) : samples.subarray(0, count);
  const samplesOf = rows.numbers.map(cut);
  const timeS =
    time === undefined
      ? Float64Array.from({ length: count }, (_, i) => i / options.sampleRateHz!)
      : samplesOf.shift()!;
  const channels: Capture['channels'] = {};
  for (const [i, { name }] of named.entries()) {
    const samples = samplesOf[i]!;
    if (options.currentScale !== undefined && name.endsWith('A')) {
      for (let k = 0; k < count; k++) samples[k]! *= options.currentScale;
    }
    channels[name] = samples;
  }
  const capture: Capture = {
    timeS,
    position: position ? wordsOf(position, POSITIONS, count) : new Array(count).fill('rest'),
    ...(position ? {} : { positionKnown: false }),
    ...(feed ? { feed: wordsOf(feed, FEEDS, count) } : {}),
    channels,
    gaps: [],
    sampleRateHz: uniformRateHz(timeS),
    notes,
    ...(extras.length === 0
      ? {}
      : { extraColumns: Object.fromEntries(extras.map(({ name }, i) => [name, rows.texts[i]!])) }),
  };
  if (capture.sampleRateHz === 0 && count > 2) return makeUniform(capture);
  return { ...capture, gaps: missingStretches(timeS, channels, 'empty cells') };
}

function wordsOf<W extends string>({ indices }: WordColumn, words: readonly W[], count: number): W[] {
  const cells = new Array<W>(count);
  for (let i = 0; i < count; i++) cells[i] = words[indices[i]!]!;
  return cells;
}

/** Bytes of the line at hand. */
function lengthOfRow({ window, at }: CsvScanner): number {
  let to = at;
  while (to < window.end && window.bytes[to] !== 10 && window.bytes[to] !== 13) to += 1;
  return to + 1 - at;
}
