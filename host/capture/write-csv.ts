// A capture as CSV text (RFC 4180, CRLF). Gaps and notes are not in the format: a missing sample is an empty cell.

import { itemAt, sampleAt } from '../arrays/index.js';
import { type Capture, sampledChannels } from './capture.js';
import { CHANNEL } from './channels.js';
import { FEED_COLUMN, POSITION_COLUMN, TIME_COLUMN } from './columns.js';

/** Rows joined at a time; keeps the intermediate strings short. */
const ROWS_A_PIECE = 4096;
const MOST_REMEMBERED = 4096;

/** Every number reads back as the same double. @throws RangeError for an infinite sample, which no instrument gives. */
export function writeCaptureCsv(capture: Capture): string {
  const sampled = sampledChannels(capture.channels);
  const hasPosition = capture.positionKnown !== false;
  const { feed } = capture;
  const extras = Object.entries(capture.extraColumns ?? {});
  const header = [
    TIME_COLUMN,
    ...(hasPosition ? [POSITION_COLUMN] : []),
    ...(feed ? [FEED_COLUMN] : []),
    ...sampled.map(([channel]) => CHANNEL[channel].column),
    ...extras.map(([name]) => quoted(name)),
  ];
  const columns = sampled.map(([, values]) => ({ values, texts: new Map<number, string>() }));
  const pieces = [`${header.join(',')}\r\n`];
  for (let from = 0; from < capture.timeS.length; from += ROWS_A_PIECE) {
    const rows: string[] = [];
    for (let i = from; i < Math.min(from + ROWS_A_PIECE, capture.timeS.length); i++) {
      const row = [numberText(sampleAt(capture.timeS, i))];
      if (hasPosition) row.push(itemAt(capture.position, i));
      if (feed) row.push(itemAt(feed, i));
      for (const { values, texts } of columns) row.push(remembered(texts, sampleAt(values, i)));
      for (const [, cells] of extras) row.push(quoted(cells[i] ?? ''));
      rows.push(row.join(','));
    }
    pieces.push(rows.join('\r\n'), '\r\n');
  }
  return pieces.join('');
}

/** A converter of ten bits gives a thousand different readings: their texts are made once. */
function remembered(texts: Map<number, string>, value: number): string {
  const known = texts.get(value);
  // Map takes minus zero for zero.
  if (known !== undefined && value !== 0) return known;
  const text = numberText(value);
  if (texts.size < MOST_REMEMBERED) texts.set(value, text);
  return text;
}

function numberText(value: number): string {
  if (Number.isNaN(value)) return '';
  if (!Number.isFinite(value)) throw new RangeError(`a sample of a capture must be finite, not ${value}`);
  // String() drops the sign of minus zero.
  return Object.is(value, -0) ? '-0' : String(value);
}

function quoted(text: string): string {
  return /[",\r\n]|^\s|\s$/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}
