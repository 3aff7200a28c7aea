// Numbers as they are told: sensible digits, with their ± and unit. Every sentence, screen and record takes them from here.

const SHOWN: Record<string, string> = { Ohm: 'Ω', '1': '' };

/** A unit's symbol as it is printed. */
export const briefUnit = (unit: string): string => SHOWN[unit] ?? unit;

const withUnit = (text: string, unit: string): string => {
  const shown = briefUnit(unit);
  return shown === '' ? text : `${text} ${shown}`;
};

/** Fixed decimals, without a minus sign before a zero. */
export function fixed(value: number, decimals: number): string {
  const text = value.toFixed(decimals);
  return Number(text) === 0 ? text.replace('-', '') : text;
}

/** `4.1 A`, `76 Ω`: so many decimals, and the unit. */
export const amount = (value: number, unit: string, decimals: number): string =>
  withUnit(fixed(value, decimals), unit);

/** `522 mΩ`: the same in thousandths of the unit. */
export const milli = (value: number, unit: string, decimals = 0): string =>
  `${fixed(1000 * value, decimals)} m${briefUnit(unit)}`;

/** So many significant digits, never as a power of ten, and the unit where there is one; ohms from a thousand up as kΩ. */
export function significant(value: number, digits: number, unit = ''): string {
  if (unit === 'Ohm' && Math.abs(value) >= 999.5) return significant(value / 1000, digits, 'kΩ');
  const text = value.toPrecision(digits);
  return withUnit(text.includes('e') ? String(Number(text)) : text, unit);
}

/** Three significant digits, without zeros at the end. */
export const shortly = (value: number, unit = ''): string =>
  withUnit(String(Number(value.toPrecision(3))), unit);

/** Decimals at which an uncertainty shows one or two significant digits (one from 3 up). */
function decimalsFor(uncertainty: number): number {
  if (!(uncertainty > 0)) return 2;
  const power = Math.floor(Math.log10(uncertainty));
  const lead = uncertainty / 10 ** power;
  return Math.min(3, Math.max(0, lead >= 2.95 ? -power : 1 - power));
}

/** Amperes under half of one, resistances under 1 Ω and times under 1 s read better by the thousandth. */
function isMilli(value: number, uncertainty: number, unit: string): boolean {
  if (unit === 'A') return Math.abs(value) < 0.5 && uncertainty < 0.02;
  return (unit === 'Ohm' || unit === 's') && Math.abs(value) < 1;
}

/** `asMilli` tells volts of a drop in the unit that an electrician writes down. */
export interface NumberOptions {
  asMilli?: boolean | undefined;
}

/** `4.03 ± 0.12 A`, `520 ± 8 mΩ`. */
export function reading(
  value: number,
  uncertainty: number,
  unit: string,
  { asMilli = false }: NumberOptions = {},
): string {
  if (unit === '1') return value.toFixed(0);
  if (asMilli || isMilli(value, uncertainty, unit)) {
    const decimals = asMilli ? 0 : Math.min(1, decimalsFor(uncertainty * 1000));
    return `${fixed(value * 1000, decimals)} ± ${milli(uncertainty, unit, decimals)}`;
  }
  const decimals = decimalsFor(uncertainty);
  return `${fixed(value, decimals)} ± ${amount(uncertainty, unit, decimals)}`;
}

function limitNumber(
  value: number,
  uncertainty: number,
  unit: string,
  asMilli: boolean,
): { text: string; shown: string } {
  const shown = briefUnit(unit);
  if (unit === '1' || unit === 'rpm') return { text: value.toFixed(0), shown };
  if (asMilli) {
    const decimals = unit === 's' && Math.abs(value) < 0.002 ? 1 : 0;
    return { text: (value * 1000).toFixed(decimals), shown: `m${shown}` };
  }
  return { text: fixed(value, Math.min(2, Math.max(1, decimalsFor(uncertainty)))), shown };
}

const withShown = ({ text, shown }: ReturnType<typeof limitNumber>): string =>
  shown === '' ? text : `${text} ${shown}`;

/** A limit, at the digits of the reading that it is held against. */
export function limit(value: number, uncertainty: number, unit: string, options: NumberOptions = {}): string {
  const asMilli = options.asMilli || isMilli(value, uncertainty, unit);
  return withShown(limitNumber(value, uncertainty, unit, asMilli));
}

/** `expected 3.4 to 4.8 A`, `at most 0.25 V`, `at least 6.0 V`; empty without limits. */
export function limitsText(
  { lower, upper }: { lower?: number | undefined; upper?: number | undefined },
  uncertainty: number,
  unit: string,
  options: NumberOptions = {},
): string {
  const told = (value: number): string => limit(value, uncertainty, unit, options);
  if (lower !== undefined && upper !== undefined) {
    if (lower === upper) return `expected ${told(lower)}`;
    // The unit stands behind the second only, so both take the scale of the larger one.
    const asMilli = options.asMilli || isMilli(Math.max(Math.abs(lower), Math.abs(upper)), uncertainty, unit);
    const from = limitNumber(lower, uncertainty, unit, asMilli);
    return `expected ${from.text} to ${withShown(limitNumber(upper, uncertainty, unit, asMilli))}`;
  }
  if (upper !== undefined) return `at most ${told(upper)}`;
  return lower === undefined ? '' : `at least ${told(lower)}`;
}

/** Units that read better by the thousandth below this, where every digit is wanted. */
const MILLI_BELOW: Record<string, number> = { Ohm: 1, s: 1, A: 0.1, J: 0.1 };
/** No rig tells more of what is read in these units: digits of a value, and decimals. */
const MOST_DIGITS = 6;
const MOST_DECIMALS: Record<string, number> = { V: 6, A: 6, s: 6, Ohm: 6, J: 6, Hz: 3, rpm: 2, '%': 3 };

export interface QuantityNumbers {
  value: number;
  unit: string;
  expandedUncertainty: number;
  /** A lower bound: what it was read from ran beyond the range of the instrument. */
  atLeast?: true;
  /** The same of what stands at the end of its channel's range. */
  isAtEnd?: true;
}

/**
 * Value and 95 % uncertainty, to the same decimals, the uncertainty with two significant digits (GUM 7.2.6); where that
 * is finer than a bench can tell, with what decimals are left, the uncertainty rounded up.
 */
export function quantityText({
  value,
  unit,
  expandedUncertainty,
  atLeast,
  isAtEnd,
}: QuantityNumbers): string {
  if (atLeast || isAtEnd) return `at least ${significant(value, 3, briefUnit(unit))}`;
  if (unit === '1') return value.toFixed(0);
  const isSmall = Math.max(Math.abs(value), expandedUncertainty) < (MILLI_BELOW[unit] ?? 0);
  const factor = isSmall ? 1000 : 1;
  const shown = `${isSmall ? 'm' : ''}${briefUnit(unit)}`;
  const spread = factor * expandedUncertainty;
  if (!(spread > 0)) return `${Number((factor * value).toPrecision(4))} ${shown}`;
  // Rounding to two digits first: 0.0996 is 0.10, not 0.100.
  const power = Math.floor(Math.log10(Number(spread.toPrecision(2))));
  const whole = value === 0 ? 0 : Math.floor(Math.log10(Math.abs(factor * value)));
  const most = MOST_DECIMALS[unit];
  const finest = most === undefined ? 9 : Math.min(most - (isSmall ? 3 : 0), MOST_DIGITS - 1 - whole);
  const decimals = Math.max(0, Math.min(finest, 1 - power));
  return `${fixed(factor * value, decimals)} ± ${Math.max(spread, 10 ** -decimals).toFixed(decimals)} ${shown}`;
}

/** `2.1 V`, `35 ms`, `120 mA`: a reading beside another one, without its ±. */
export function briefly(value: number, unit: string): string {
  const isSmall = unit === 's' || (unit === 'A' && Math.abs(value) < 0.5);
  return isSmall ? milli(value, unit) : amount(value, unit, 1);
}

/** `1 time`, `3 times`. */
export const times = (count: number): string => `${count} ${count === 1 ? 'time' : 'times'}`;

/** `33 %`, a part of what was counted; empty where nothing was. */
export const share = (part: number, whole: number): string =>
  whole === 0 ? '' : `${Math.round((100 * part) / whole)} %`;

/** Nothing is certain from readings alone, so never 100 %. */
export const percent = (likelihood: number): string =>
  likelihood > 0.99 ? '>99 %' : `${Math.round(likelihood * 100)} %`;

/** Of a finding: that of several causes which read the same is their sum, and says so. */
export const chance = (finding: { likelihood: number; inseparable?: readonly string[] }): string =>
  `${finding.inseparable === undefined ? '' : 'together '}${percent(finding.likelihood)}`;

/** Numbers by name, as programs are told them: names carry units, what was not measured is absent. */
export const quantitiesJson = (
  quantities: Readonly<Record<string, QuantityNumbers>>,
): Record<string, QuantityNumbers> =>
  Object.fromEntries(
    Object.entries(quantities).map(([name, { value, unit, expandedUncertainty, atLeast, isAtEnd }]) => [
      name,
      { value, unit, expandedUncertainty, ...(atLeast || isAtEnd ? { atLeast: true as const } : {}) },
    ]),
  );
