// What a cell of a foreign table may hold besides a plain number: a number with its unit, a mark for no reading or for
// one beyond the range, a time of day.

import { NOT_A_NUMBER, readDecimal } from './decimal.js';
import { type Unit, unitOf } from './units.js';

const POINT = 46;
const COMMA = 44;

/** No reading. 9.91E37 is a number that is none by SCPI-99, volume 1, 7.2.1.5; the words are common practice. */
const MISSING =
  /^(?:n\/?a|#n\/?a|na|null|none|nil|missing|invalid|error|err|-+|\?+|\.+|1\.#(?:qnan|ind)\w*|[-+]?9\.9100*e\+?37)$/i;
/** Beyond the range. 9.9E37 is infinity by SCPI-99, volume 1, 7.2.1.4; the words are common practice. */
const OVER =
  /^([-+]?)\s*(?:ol|o\.l\.?|ovl|ofl|over|overflow|over[\s-]?range|over[\s-]?load|clip(?:ped|ping)?|inf(?:inity)?|∞|\*{2,}|>{2,}|1\.#inf\w*|9\.900*e\+?37)$/i;

/** SCPI's number that is none, written with at least four digits. */
const SCPI_NONE = 9.91e37;
/** Infinity by SCPI; the others are common practice, the last the largest number of four bytes (IEEE 754). */
const OVER_NUMBERS = [9.9e37, 1e37, 1e38, 3.4028235e38];

/** The mark that a number stands for; undefined for a reading. */
export function specialNumber(value: number): Special | undefined {
  if (!(Math.abs(value) > 9e36)) return undefined;
  const is = (wanted: number): boolean => Math.abs(value / wanted - 1) < 1e-4;
  if (is(SCPI_NONE)) return 'missing';
  if (OVER_NUMBERS.some(is)) return 'over';
  return OVER_NUMBERS.some((mark) => is(-mark)) ? 'under' : undefined;
}

export type Special = 'missing' | 'over' | 'under';

/** The mark that stands in place of a reading; undefined for anything else. */
export function specialOf(cell: string): Special | undefined {
  const text = cell.trim();
  if (MISSING.test(text)) return 'missing';
  const over = OVER.exec(text);
  return over ? (over[1] === '-' ? 'under' : 'over') : undefined;
}

/** A number with its unit in one cell, such as `850 mA`; undefined for anything else. */
export function withUnitOf(cell: string, point: number): { value: number; unit: Unit } | undefined {
  const found = /^\s*([-+]?[\d.,]+(?:[eE][-+]?\d+)?)\s*([^\d\s.,+-].*)$/.exec(cell);
  if (!found) return undefined;
  const [, digits = '', word = ''] = found;
  const value = readDecimal(digits, 0, digits.length, point);
  const unit = unitOf(word);
  return unit === undefined || value === NOT_A_NUMBER ? undefined : { value, unit };
}

export type CellKind = 'number' | 'stamp' | 'special' | 'empty' | 'text';

/** @param comma whether a comma may be the decimal sign. */
export function cellKind(cell: string, comma: boolean): CellKind {
  const text = cell.trim();
  if (text === '') return 'empty';
  const reads = (point: number): boolean => readDecimal(text, 0, text.length, point) !== NOT_A_NUMBER;
  if (/^nan$/i.test(text)) return 'special';
  if (reads(POINT) || (comma && reads(COMMA))) return 'number';
  // With signs between its thousands: a number, but one that is refused.
  if (/^[-+]?\d{1,3}(?:[.,']\d{3})+(?:[.,]\d+)?$/.test(text)) return 'number';
  if (specialOf(text)) return 'special';
  if (stampPattern(text)) return 'stamp';
  return withUnitOf(text, POINT) || (comma && withUnitOf(text, COMMA)) ? 'number' : 'text';
}

const CLOCK = /^(?:(\d{1,3}):)?(\d{1,2}):(\d{2}(?:[.,]\d+)?)\s*(am|pm)?$/i;
const DATE = /^(\d{1,4})([-./])(\d{1,2}|[A-Za-z]{3})\2(\d{1,4})$/;
const MONTHS = ['jan', 'feb', 'mar', 'apr', 'may', 'jun', 'jul', 'aug', 'sep', 'oct', 'nov', 'dec'];

const stampPattern = (text: string): boolean => stampS(text) !== undefined || DATE.test(text);

/** Seconds of a date-time, a time of day or a running h:m:s; of an arbitrary zero. Undefined for anything else. */
export function stampS(cell: string): number | undefined {
  const text = cell.trim().replace(/(?:\s*Z|\s*[-+]\d{2}:?\d{2}|\s+UTC)$/, '');
  const parts = /^(\S+?)(?:T|\s+)(\d{1,2}:.+)$/.exec(text);
  const dayS = parts ? dateS(parts[1] ?? '') : 0;
  const clock = CLOCK.exec(parts ? (parts[2] ?? '') : text);
  if (dayS === undefined || !clock) return undefined;
  const [, hours = '0', minutes = '0', seconds = '0', half] = clock;
  let hour = Number(hours);
  if (half) hour = (hour % 12) + (half.toLowerCase() === 'pm' ? 12 : 0);
  if (Number(minutes) > 59 || Number(seconds.replace(',', '.')) >= 61) return undefined;
  return dayS + 3600 * hour + 60 * Number(minutes) + Number(seconds.replace(',', '.'));
}

/** Year first is ISO 8601; else day.month.year, or month/day/year with slashes: only the day's change matters here. */
function dateS(text: string): number | undefined {
  const found = DATE.exec(text);
  if (!found) return undefined;
  const [, first = '', sign, second = '', third = ''] = found;
  const named = MONTHS.indexOf(second.toLowerCase()) + 1;
  const yearFirst = first.length === 4;
  const [year, month, day] = yearFirst
    ? [first, named || second, third]
    : sign === '/' && Number(first) <= 12
      ? [third, first, second]
      : [third, named || second, first];
  const full = Number(year) < 100 ? 2000 + Number(year) : Number(year);
  const atMs = Date.UTC(full, Number(month) - 1, Number(day));
  return Number.isFinite(atMs) ? atMs / 1000 : undefined;
}

export const isDateCell = (cell: string): boolean => DATE.test(cell.trim());
