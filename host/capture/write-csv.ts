// A capture as CSV text (RFC 4180, CRLF). Gaps and notes are not in the format: a missing sample is an empty cell.

import { type Capture, CHANNELS } from './capture.js';
import { COLUMN_OF, POSITION_COLUMN, TIME_COLUMN } from './columns.js';

/** Rows joined at a time; keeps the intermediate strings short. */
const ROWS_A_PIECE = 4096;

/** Every number reads back as the same double. @throws RangeError for an infinite sample, which no instrument gives. */
export function writeCaptureCsv(capture: Capture): string {
  const names = CHANNELS.filter((name) => capture.channels[name] !== undefined);
  const hasPosition = capture.positionKnown !== false;
  const extras = Object.entries(capture.extraColumns ?? {});
  const header = [
    TIME_COLUMN,
    ...(hasPosition ? [POSITION_COLUMN] : []),
    ...names.map((name) => COLUMN_OF[name]),
    ...extras.map(([name]) => quoted(name)),
  ];
  const arrays = names.map((name) => capture.channels[name]!);
  const pieces = [`${header.join(',')}\r\n`];
  for (let from = 0; from < capture.timeS.length; from += ROWS_A_PIECE) {
    let piece = '';
    for (let i = from; i < Math.min(from + ROWS_A_PIECE, capture.timeS.length); i++) {
      let row = cell(capture.timeS[i]!);
      if (hasPosition) row += `,${capture.position[i]}`;
      for (const values of arrays) row += `,${cell(values[i]!)}`;
      for (const [, cells] of extras) row += `,${quoted(cells[i] ?? '')}`;
      piece += `${row}\r\n`;
    }
    pieces.push(piece);
  }
  return pieces.join('');
}

function cell(value: number): string {
  if (Number.isNaN(value)) return '';
  if (!Number.isFinite(value)) throw new RangeError(`a sample of a capture must be finite, not ${value}`);
  // String() drops the sign of minus zero.
  return Object.is(value, -0) ? '-0' : String(value);
}

function quoted(text: string): string {
  return /[",\r\n]|^\s|\s$/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}
