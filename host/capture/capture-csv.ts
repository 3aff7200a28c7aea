// Captures as CSV (RFC 4180), so that a capture taken by any instrument can be judged. Missing samples are empty
// cells; unknown columns are kept and ignored; numbers are written so that they read back as the same doubles.

import { isAscii } from 'node:buffer';
import { readFileSync, statSync } from 'node:fs';
import { displayPath, InputError, nearestName, readFault } from '../profile/index.js';
import { type Capture, POSITIONS, type Position } from './capture.js';
import { type Columns, HEADER_HINT, readHeader, separatorOf } from './csv-header.js';
import { CsvScanner, NUMBER_FIELD, POSITION_FIELD, TEXT_FIELD } from './csv-scanner.js';
import { NOT_A_NUMBER, readDecimal } from './decimal.js';
import { missingStretches } from './gaps.js';
import { makeUniform, uniformRateHz } from './resample.js';

/** Longest text one string can hold here, with room. */
const LARGEST_BYTES = 400_000_000;

/** @throws InputError when the file cannot be read or is not a capture. */
export function readCaptureFile(path: string, options: ReadOptions = {}): Capture {
  const name = displayPath(path);
  return readCaptureCsv(sourceOf(path, name), name, options);
}

function sourceOf(path: string, name: string): string | Uint8Array {
  try {
    const { size } = statSync(path);
    if (size > LARGEST_BYTES) {
      throw new InputError({
        file: name,
        what: `has ${Math.round(size / 1e6)} MB`,
        mend: 'cut it below 400 MB',
      });
    }
    return decode(readFileSync(path), name);
  } catch (error) {
    if (error instanceof InputError) throw error;
    throw new InputError({ file: name, ...readFault(error) }, { cause: error });
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
 * @param source the whole file, as text or as ASCII bytes; separator comma, semicolon (then with decimal point or comma) or tab, by its header.
 * @param fileName for messages.
 * @throws InputError naming the line and column of the first fault.
 */
export function readCaptureCsv(
  source: string | Uint8Array,
  fileName: string,
  options: ReadOptions = {},
): Capture {
  const body = typeof source === 'string' && source.charCodeAt(0) === 0xfeff ? source.slice(1) : source;
  const head = headOf(body);
  const separator = separatorOf(head);
  const header = new CsvScanner(head, separator, fileName);
  if (!header.next())
    throw new InputError({ file: fileName, what: 'is empty', mend: `start it with ${HEADER_HINT}` });
  const columns = readHeader(header, fileName, options);
  // Without a header the first record is a sample already.
  const scanner = new CsvScanner(body, separator, fileName, columns.hasHeader ? header.place : undefined);
  const { capture, notes } = readRows(scanner, head, columns, separator, fileName, options);
  capture.notes.push(...columns.notes, ...notes);
  const rateHz = uniformRateHz(capture.timeS);
  if (rateHz === 0 && capture.timeS.length > 2) return makeUniform(capture);
  return {
    ...capture,
    sampleRateHz: rateHz,
    gaps: missingStretches(capture.timeS, capture.channels, 'empty cells'),
  };
}

function readRows(
  scanner: CsvScanner,
  head: string,
  columns: Columns,
  separator: string,
  file: string,
  options: ReadOptions,
) {
  const { starts, ends } = scanner;
  // Rows are about as long as the first one; growing millions of samples step by step costs more than reading them.
  let capacity = Math.max(64, Math.ceil((1.1 * scanner.length) / Math.max(2, lengthOfRow(head))));
  let timeS = new Float64Array(capacity);
  let values = columns.channels.map(() => new Float64Array(capacity));
  const position: Position[] = [];
  const extraCells = columns.extras.map(() => [] as string[]);
  let heldPositions = 0;
  let point = 46;
  let length = 0;
  let lastS = Number.NEGATIVE_INFINITY;
  const cellFault = (index: number, what: string, mend: string): InputError =>
    new InputError({ file, line: scanner.line, key: columns.names[index], what, mend });

  const number = (index: number): number => {
    let value = readDecimal(scanner.text, starts[index]!, ends[index]!, point);
    if (value !== NOT_A_NUMBER) return value;
    const cell = scanner.field(index);
    if (separator !== ',' && point === 46 && cell.includes(',')) {
      value = readDecimal(scanner.text, starts[index]!, ends[index]!, 44);
      if (value !== NOT_A_NUMBER) {
        point = 44;
        return value;
      }
    }
    const mend = cell.includes(',')
      ? 'write a decimal point, or separate the columns by semicolons'
      : 'write a number, or leave the cell empty where there is no sample';
    throw cellFault(index, `'${cell.slice(0, 40)}' is not a number`, mend);
  };

  const kinds = new Uint8Array(columns.count).fill(TEXT_FIELD);
  const { time } = columns;
  if (time !== undefined) kinds[time] = NUMBER_FIELD;
  for (const { index } of columns.channels) kinds[index] = NUMBER_FIELD;
  if (columns.position !== undefined) kinds[columns.position] = POSITION_FIELD;
  const plain = new Float64Array(columns.count);
  for (;;) {
    const isPlain = scanner.plainRecord(kinds, point, plain);
    if (!isPlain && !scanner.next()) break;
    if (scanner.count !== columns.count) {
      const more = scanner.count > columns.count && separator === ',';
      throw new InputError({
        file,
        line: scanner.line,
        what: `${scanner.count} fields where the header has ${columns.count}`,
        mend: more
          ? 'write decimal points (or separate the columns by semicolons), and put text with commas in quotes'
          : 'fill the row with empty cells; the file may be cut off here',
      });
    }
    if (length === capacity) {
      capacity *= 2;
      timeS = grown(timeS, capacity);
      values = values.map((channel) => grown(channel, capacity));
    }
    const atS = time === undefined ? length / options.sampleRateHz! : isPlain ? plain[time]! : number(time);
    if (time !== undefined && !(atS > lastS)) {
      if (Number.isNaN(atS)) throw cellFault(time, 'the time is missing', 'write seconds, such as 0.0002');
      const what =
        atS === lastS ? `the time ${atS} stands twice` : `the time goes back from ${lastS} to ${atS}`;
      throw cellFault(time, what, 'write times that increase from row to row, with enough decimals');
    }
    lastS = atS;
    timeS[length] = atS;
    for (let i = 0; i < values.length; i++) {
      const { index } = columns.channels[i]!;
      values[i]![length] = isPlain ? plain[index]! : number(index);
    }
    if (columns.position === undefined) position.push('rest');
    else if (isPlain) position.push(POSITIONS[plain[columns.position]!]!);
    else {
      const word = positionAt(scanner, columns.position);
      if (word === undefined) {
        const cell = scanner.field(columns.position).trim();
        const held = position.at(-1);
        if (cell !== '' || held === undefined) {
          const near = nearestName(cell, POSITIONS);
          const mend = near && cell !== '' ? `did you mean ${near}?` : `write ${POSITIONS.join(', ')}`;
          throw cellFault(
            columns.position,
            cell === '' ? 'the position is missing' : `'${cell.slice(0, 40)}' is no position`,
            mend,
          );
        }
        heldPositions += 1;
        position.push(held);
      } else position.push(word);
    }
    for (let i = 0; i < extraCells.length; i++) extraCells[i]!.push(scanner.field(columns.extras[i]!.index));
    length += 1;
  }
  if (length === 0) {
    throw new InputError({
      file,
      line: scanner.line,
      what: 'no sample follows the header',
      mend: 'add rows of samples',
    });
  }
  const notes: string[] = [];
  if (point === 44) notes.push('Decimal commas were read as decimal points.');
  if (heldPositions > 0) notes.push(`${heldPositions} empty positions were taken as the one before.`);
  const channels: Capture['channels'] = {};
  // Views, not copies: the room that the estimate left over is a tenth.
  const cut = (samples: Float64Array): Float64Array =>
    samples.length > 1.2 * length ? samples.slice(0, length) : samples.subarray(0, length);
  for (const [i, { name }] of columns.channels.entries()) {
    const samples = cut(values[i]!);
    if (options.currentScale !== undefined && name.endsWith('A')) {
      for (let k = 0; k < length; k++) samples[k]! *= options.currentScale;
    }
    channels[name] = samples;
  }
  const capture: Capture = {
    timeS: cut(timeS),
    position,
    ...(columns.position === undefined ? { positionKnown: false } : {}),
    channels,
    gaps: [],
    sampleRateHz: 0,
    notes: [],
    ...(columns.extras.length === 0
      ? {}
      : { extraColumns: Object.fromEntries(columns.extras.map(({ name }, i) => [name, extraCells[i]!])) }),
  };
  return { capture, notes };
}

/** The word in the cell; by its length first, as millions are read. */
function positionAt(scanner: CsvScanner, index: number): Position | undefined {
  const start = scanner.starts[index]!;
  for (const word of POSITIONS) {
    if (scanner.ends[index]! - start === word.length && scanner.text.startsWith(word, start)) return word;
  }
  const cell = scanner.field(index).trim().toLowerCase();
  return POSITIONS.find((word) => word === cell);
}

/** Enough of the file to hold its header: the whole, unless the header surely ends in the first part. */
function headOf(source: string | Uint8Array): string {
  if (typeof source === 'string') return source;
  const part = Buffer.from(source.buffer, source.byteOffset, Math.min(source.length, 65536)).toString(
    'latin1',
  );
  const isWhole = /[^\r\n][\r\n]/.test(part) && !/^[^\r\n]*"/m.test(part);
  return isWhole ? part : Buffer.from(source.buffer, source.byteOffset, source.length).toString('latin1');
}

/** Bytes from the second line's beginning to its end, or of the first when there is no other. */
function lengthOfRow(text: string): number {
  const from = text.search(/[\r\n]/) + 1;
  const length = text.slice(from + 1).search(/[\r\n]/);
  return length > 0 ? length + 1 : text.length;
}

function decode(bytes: Buffer, file: string): string | Uint8Array {
  if (isAscii(bytes)) return bytes;
  const utf16 = (bytes[0] === 0xff && bytes[1] === 0xfe) || (bytes[0] === 0xfe && bytes[1] === 0xff);
  if (utf16) throw new InputError({ file, what: 'is UTF-16 text', mend: 'save it as UTF-8' });
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch (error) {
    throw new InputError(
      { file, what: 'is not UTF-8 text', mend: 'save it as CSV in UTF-8' },
      { cause: error },
    );
  }
}

function grown(values: Float64Array, capacity: number): Float64Array<ArrayBuffer> {
  const larger = new Float64Array(capacity);
  larger.set(values);
  return larger;
}
