// What a builder orders and joins, as tables (CSV, RFC 4180): parts by mark and by the piece from the parts table of RIG.md, and
// every net of the sheets with all that hangs on it, to tick off and to measure by.

import { parseSheet } from './schematic/parse.js';

interface Row {
  marks: string[];
  part: string;
  rating: string;
}

/** A table's row may ask for pieces that no sheet shows, such as a capacitor at each chip. */
const MORE = /; (\d+) more:/;

/** A line for each mark: mark, part, rating. */
export const partsCsv = (rigDocument: string): string =>
  csv([
    ['mark', 'part', 'rating'],
    ...rowsOf(rigDocument).flatMap(({ marks, part, rating }) => marks.map((mark) => [mark, part, rating])),
  ]);

/** A line for each kind of part, what is alike put together: pieces, part, rating, marks. */
export function orderCsv(rigDocument: string): string {
  const kinds = new Map<string, Row & { pieces: number }>();
  for (const { marks, part, rating: stated } of rowsOf(rigDocument)) {
    const rating = wholeRating(part, stated);
    const key = `${part}|${rating}`;
    const kind = kinds.get(key) ?? { marks: [], part, rating, pieces: 0 };
    kind.marks.push(...marks);
    kind.pieces += marks.length + Number(MORE.exec(part)?.[1] ?? 0);
    kinds.set(key, kind);
  }
  return csv([
    ['pieces', 'part', 'rating', 'marks'],
    ...[...kinds.values()].map(({ pieces, part, rating, marks }) => [
      String(pieces),
      part,
      rating,
      marks.join(' '),
    ]),
  ]);
}

/** A line for each net of all sheets together, by name: net, pins on it, their number. */
export function netsCsv(sheets: readonly string[]): string {
  const nets = new Map<string, Set<string>>();
  for (const sheet of sheets)
    for (const { name, pins } of parseSheet(sheet).nets.values()) {
      const own = nets.get(name) ?? new Set();
      for (const { ref, pin } of pins) own.add(`${ref}.${pin}`);
      nets.set(name, own);
    }
  const sorted = [...nets].sort(([a], [b]) => (a < b ? -1 : 1));
  return csv([
    ['net', 'joins', 'pins'],
    ...sorted.map(([name, pins]) => [name, [...pins].join(' '), String(pins.size)]),
  ]);
}

/** With what the page says of all resistors above its table: 1 %, 0.25 W unless stated. */
function wholeRating(part: string, stated: string): string {
  if (!part.startsWith('resistor')) return stated;
  const words = [stated, stated.includes('%') ? '' : '1 %', /\d W/.test(stated) ? '' : '0.25 W'];
  return words.filter((word) => word !== '').join(', ');
}

function rowsOf(rigDocument: string): Row[] {
  const lines = rigDocument.split('\n');
  const from = lines.findIndex((line) => /^\| reference +\| part +\| rating/.test(line));
  if (from < 0) throw new Error('RIG.md has no table of parts: reference, part, rating');
  const rows: Row[] = [];
  for (const line of lines.slice(from + 2)) {
    if (!line.startsWith('|')) break;
    const [marks = '', part = '', rating = ''] = line
      .split('|')
      .slice(1)
      .map((cell) => cell.trim());
    rows.push({ marks: marks.split(', '), part, rating: rating === '-' ? '' : rating });
  }
  return rows;
}

const csv = (rows: readonly (readonly string[])[]): string =>
  `${rows.map((row) => row.map(cell).join(',')).join('\r\n')}\r\n`;

const cell = (text: string): string => (/[",]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text);
