// A number as people write one: with a decimal comma, its unit behind it, or in quotes. What the file should say instead.

const WRITTEN = /^\s*([-+]?(?:\d+(?:[.,]\d*)?|[.,]\d+)(?:e[-+]?\d+)?)\s*(\D.*)?$/i;

/** Parts and multiples that workshops use. */
const PREFIX: Record<string, number> = {
  n: 1e-9,
  u: 1e-6,
  µ: 1e-6,
  μ: 1e-6,
  m: 1e-3,
  k: 1e3,
  K: 1e3,
  M: 1e6,
};

const plainUnit = (unit: string): string =>
  unit
    .replace(/Ω|Ω/g, 'Ohm')
    .replace(/\u00b2/g, '2')
    .replace(/[\s·*.]/g, '')
    .replace(/ohms$/i, 'Ohm')
    .toLowerCase();

/** Other names of units: what is written, and how it counts in the unit that is wanted. */
const ALSO: Record<string, readonly (readonly [written: string, factor: number])[]> = {
  s: [
    ['sec', 1],
    ['min', 60],
  ],
  m: [
    ['cm', 0.01],
    ['mm', 0.001],
  ],
  'mm²': [['sqmm', 1]],
  V: [
    ['volt', 1],
    ['volts', 1],
  ],
  A: [
    ['amp', 1],
    ['amps', 1],
  ],
  '%': [['percent', 1]],
  '°C': [['c', 1]],
};

/**
 * The number that somebody wrote where one in `unit` is wanted (empty: a plain number): `0,9`, `0.9 Ohm`, `900 mOhm`.
 * Undefined for what is no number, `other-unit` for one in a unit that does not lead there.
 */
export function writtenNumber(text: string, unit: string): number | 'other-unit' | undefined {
  const [, digits, behind = ''] = WRITTEN.exec(text) ?? [];
  if (digits === undefined) return undefined;
  const value = Number(digits.replace(',', '.'));
  if (!Number.isFinite(value)) return undefined;
  if (behind.trim() === '') return value;
  const factor = factorOf(behind.trim(), unit);
  return factor === undefined ? 'other-unit' : Number((value * factor).toPrecision(12));
}

/** What to write in its place in a file: `write 0.9`. Undefined for what is no number in any clothes. */
export function numberMend(text: string, unit: string): string | undefined {
  const value = writtenNumber(text, unit);
  if (value === undefined) return undefined;
  const isBare = /^[-+\d.,eE\s]+$/.test(text);
  if (isBare) return `write ${value}, ${text.includes(',') ? 'with a decimal point' : 'without quotes'}`;
  if (unit === '') return 'write the number alone';
  return value === 'other-unit'
    ? `write it in ${unit}, the number alone`
    : `write ${value}, the number alone: it counts in ${unit}`;
}

function factorOf(written: string, unit: string): number | undefined {
  if (unit === '') return undefined;
  const [same, wanted] = [plainUnit(written), plainUnit(unit)];
  if (same === wanted) return 1;
  const also = ALSO[unit]?.find(([name]) => name === same);
  if (also) return also[1];
  const prefix = PREFIX[written.slice(0, 1)];
  return prefix !== undefined && plainUnit(written.slice(1)) === wanted ? prefix : undefined;
}
