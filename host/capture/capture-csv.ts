// Captures as CSV (RFC 4180), so that a capture taken by any instrument can be judged. Missing samples are empty
// cells; unknown columns are kept and ignored; numbers are written so that they read back as the same doubles.

import { closeSync, fstatSync, openSync, readSync } from 'node:fs';
import { itemAt } from '../arrays/index.js';
import { displayPath, InputError, readFault } from '../input/index.js';
import { acrossLeads, acrossNote, asFound, notUsed, supplyNote } from './across-motor.js';
import { ByteWindow } from './byte-window.js';
import type { Capture } from './capture.js';
import { CHANNEL } from './channels.js';
import { withClampSign } from './clamp-sign.js';
import { COIL_FEED_COLUMN, FEED_COLUMN } from './columns.js';
import {
  type ChannelColumn,
  type Columns,
  HEADER_HINT,
  isOwnHeader,
  type ReadOptions,
  readHeader,
  separatorOf,
} from './csv-header.js';
import { type Rows, readRows, type WordColumn } from './csv-rows.js';
import { CsvScanner } from './csv-scanner.js';
import { type DirectionLines, positionsOfLines } from './direction-lines.js';
import { foreignColumns, NO_POSITIONS } from './foreign-columns.js';
import { beyondOf, inSiUnits, refuseLarge, SI_UNIT, secondsOf, understood } from './foreign-values.js';
import { missingStretches } from './gaps.js';
import { bytesOf, layoutOf } from './layout.js';
import { COIL_FEEDS, FEEDS, POSITIONS, type Position } from './positions.js';
import { makeUniform, uniformRateHz } from './resample.js';
import { withoutSeldom } from './seldom-read.js';
import { utf8Of } from './text-source.js';

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
    const read = utf8Of((into, at, length) => system(() => readSync(open, into, at, length, null)), name);
    const window = new ByteWindow(read);
    return readCapture(window, size, name, options);
  } finally {
    if (file !== undefined) closeSync(file);
  }
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
  const columns = columnsOf(scanner, fileName, options);
  const { times, channels: named } = columns;
  const time = 'index' in times ? times.index : undefined;
  const fed = columns.extras.find(({ name }) => name === FEED_COLUMN);
  const coil = columns.extras.find(({ name }) => name === COIL_FEED_COLUMN);
  const extras = columns.extras.filter((column) => column !== fed && column !== coil);
  const rows = readRows(scanner, {
    columns,
    numbers: [...(time === undefined ? [] : [time]), ...named.map(({ index }) => index)],
    words: [
      ...(columns.position === undefined ? [] : [{ index: columns.position, words: POSITIONS }]),
      ...(fed ? [{ index: fed.index, words: FEEDS }] : []),
      ...(coil ? [{ index: coil.index, words: COIL_FEEDS }] : []),
    ],
    texts: extras.map(({ index }) => index),
    time,
    stamps: 'index' in times ? times.stamps : undefined,
    units: new Map([
      ...('index' in times && times.unit ? ([[times.index, times.unit]] as const) : []),
      ...named.map(({ index, name, unit }) => [index, unit ?? SI_UNIT[CHANNEL[name].unit]] as const),
    ]),
    hasDecimalCommas: columns.hasDecimalCommas ?? false,
    // Rows are about as long as the first one; growing millions of samples step by step costs more than reading them.
    capacity: Math.ceil((1.1 * size) / Math.max(2, lengthOfRow(scanner))),
  });
  const { count } = rows;
  const notes = [...columns.notes];
  if (rows.hasDecimalCommas) notes.push('Decimal commas were read as decimal points.');
  if (rows.remarks > 0) notes.push(`${rows.remarks} lines of remarks between the rows were passed over.`);
  const position = rows.words.find(({ index }) => index === columns.position);
  const feed = rows.words.find(({ index }) => index === fed?.index);
  const coilFeed = rows.words.find(({ index }) => index === coil?.index);
  if (position && position.held > 0)
    notes.push(`${position.held} empty positions were taken as the one before.`);
  if (feed && feed.held > 0) notes.push(`${feed.held} empty feeds were taken as the one before.`);
  // Views, not copies: the room that the estimate left over is a tenth.
  const samplesAt = (index: number): Float64Array => {
    const { values } = columnAt(rows.numbers, index);
    return values.length > 1.2 * count ? values.slice(0, count) : values.subarray(0, count);
  };
  const timeS =
    'index' in times
      ? secondsOf(samplesAt(times.index), times)
      : Float64Array.from({ length: count }, (_, i) => i / times.rateHz);
  let channels: Capture['channels'] = {};
  const read: ChannelColumn[] = [];
  const beyondRange: NonNullable<Capture['beyondRange']> = {};
  for (const column of named) {
    const samples = inSiUnits(samplesAt(column.index), column, options.currentScale);
    const { beyond, note } = beyondOf(columnAt(rows.numbers, column.index).over, samples, column);
    refuseLarge(samples, column, { file: fileName, title: itemAt(columns.names, column.index) });
    const found = asFound(column, samples, channels);
    if (found === undefined) {
      notes.push(notUsed(itemAt(columns.names, column.index)));
      continue;
    }
    read.push(found);
    if (found.across) {
      channels = { ...channels, ...acrossLeads(samples) };
      notes.push(acrossNote(column, itemAt(columns.names, column.index)));
    } else channels[found.name] = samples;
    if (column.across === 'perhaps' && !found.across)
      notes.push(supplyNote(itemAt(columns.names, column.index)));
    if (beyond) beyondRange[found.name] = beyond;
    if (note) notes.push(note);
  }
  const byLines = columns.directions && directionsTold(rows, columns, columns.directions);
  if (byLines) notes.push(...byLines.notes);
  // In the own format an empty cell is a lost sample.
  const seldom = columns.isForeign ? withoutSeldom(timeS, channels, count) : { channels, notes: [] };
  notes.push(...seldom.notes);
  const plain: Capture = {
    timeS,
    position: position
      ? wordsOf(position, POSITIONS, count)
      : (byLines?.position ?? new Array(count).fill('rest')),
    ...(position || byLines?.position ? {} : { positionKnown: false }),
    ...(feed ? { feed: wordsOf(feed, FEEDS, count) } : {}),
    ...(coilFeed && wordsOf(coilFeed, COIL_FEEDS, count).every((word) => word === 'limited')
      ? { coilFeed: 'limited' as const }
      : {}),
    channels: seldom.channels,
    ...(seldom.channels.leadAVoltageV && read.some(({ across }) => across)
      ? { leadsByDifference: true as const }
      : {}),
    gaps: [],
    sampleRateHz: uniformRateHz(timeS),
    notes,
    ...(Object.keys(beyondRange).length === 0 ? {} : { beyondRange }),
    ...(extras.length === 0 ? {} : { extraColumns: textsOf(rows, extras) }),
  };
  const capture = columns.isForeign ? withClampSign(plain) : plain;
  const told = (made: Capture): Capture =>
    columns.isForeign
      ? {
          ...made,
          isForeign: true,
          notes: [
            understood(made, count, { ...columns, channels: read }, options.currentScale),
            ...made.notes,
          ],
        }
      : made;
  if (capture.sampleRateHz === 0 && count > 2) return told(makeUniform(capture));
  return told({ ...capture, gaps: missingStretches(timeS, capture.channels, 'empty cells') });
}

/** Which column is which; the scanner then stands before the first row of samples. @throws InputError */
function columnsOf(scanner: CsvScanner, file: string, options: ReadOptions): Columns {
  const line = scanner.firstLine();
  scanner.separator = separatorOf(line);
  const own = line.split(scanner.separator).map((name) => name.trim().replace(/^"(.*)"$/, '$1'));
  if (isOwnHeader(own, options)) {
    scanner.next();
    return readHeader(scanner, file, options);
  }
  const head = scanner.head();
  if (head.text.trim() === '')
    throw new InputError({ file, what: 'is empty', mend: `start it with ${HEADER_HINT}` });
  const { decimal, skipRows } = options;
  const layout = layoutOf(head.text, file, { isWhole: head.isWhole, decimal, skipRows });
  const columns = foreignColumns(layout, file, options);
  scanner.isLatin = head.isLatin;
  scanner.separator = layout.separator;
  scanner.skipTo(bytesOf(head.text, layout.at, head.isLatin), layout.dataLine);
  return { ...columns, hasDecimalCommas: layout.decimal === 'comma' };
}

const wordsOf = <W extends string>({ indices }: WordColumn, words: readonly W[], count: number): W[] =>
  Array.from(indices.subarray(0, count), (index) => itemAt(words, index));

/** Positions by the logic lines of the file, or why not, in a line that says the way. */
function directionsTold(
  { texts }: Rows,
  { names }: Columns,
  { forward, reverse }: DirectionLines,
): { position?: Position[]; notes: string[] } {
  const cellsOf = (index: number): string[] => columnAt(texts, index).cells;
  const title = (index: number): string => `'${itemAt(names, index)}'`;
  const way = 'for positions write one column position with rest, forward and reverse';
  if (forward === undefined || reverse === undefined) {
    const only = forward ?? reverse;
    const told =
      only === undefined ? [] : [`Column ${title(only)} tells one direction alone and was not used; ${way}.`];
    return { notes: [...told, NO_POSITIONS] };
  }
  const both = `${title(forward)} and ${title(reverse)}`;
  const found = positionsOfLines(cellsOf(forward), cellsOf(reverse));
  if ('why' in found)
    return { notes: [`Columns ${both} ${found.why} and were not used; ${way}.`, NO_POSITIONS] };
  const level = found.isLowActive ? 'low' : 'high';
  return { position: found.position, notes: [`Positions were read from ${both}, ${level} where thrown.`] };
}

/** The column of a field that was asked for. */
function columnAt<C extends { index: number }>(columns: readonly C[], index: number): C {
  const found = columns.find((column) => column.index === index);
  if (found === undefined) throw new RangeError(`field ${index} was not read`);
  return found;
}

const textsOf = ({ texts }: Rows, extras: Columns['extras']): Record<string, string[]> =>
  Object.fromEntries(extras.map(({ name, index }) => [name, columnAt(texts, index).cells]));

/** Bytes of the line at hand. */
function lengthOfRow({ window, at }: CsvScanner): number {
  let to = at;
  while (to < window.end && window.bytes[to] !== 10 && window.bytes[to] !== 13) to += 1;
  return to + 1 - at;
}
