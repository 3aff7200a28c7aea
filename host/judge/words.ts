// Numbers as they are told: sensible digits, with their ±.

/** Decimals at which an uncertainty shows one or two significant digits (one from 3 up). */
function decimalsFor(uncertainty: number): number {
  if (!(uncertainty > 0)) return 2;
  const power = Math.floor(Math.log10(uncertainty));
  const lead = uncertainty / 10 ** power;
  return Math.min(3, Math.max(0, lead >= 2.95 ? -power : 1 - power));
}

const SHOWN: Record<string, string> = { Ohm: 'Ω', '1': '' };

const withUnit = (text: string, unit: string): string => {
  const shown = SHOWN[unit] ?? unit;
  return shown === '' ? text : `${text} ${shown}`;
};

/** `4.03 ± 0.12 A`; amperes under a quarter of one as milliamperes would read, resistances under 1 Ω in mΩ. */
export function reading(value: number, uncertainty: number, unit: string): string {
  if (unit === '1') return value.toFixed(0);
  if (unit === 'Ohm' && Math.abs(value) < 1) return milli(value, uncertainty, 'mΩ');
  if (unit === 'A' && Math.abs(value) < 0.5 && uncertainty < 0.02) return milli(value, uncertainty, 'mA');
  if (unit === 's' && Math.abs(value) < 1) return milli(value, uncertainty, 'ms');
  const decimals = decimalsFor(uncertainty);
  return withUnit(`${fixed(value, decimals)} ± ${uncertainty.toFixed(decimals)}`, unit);
}

function milli(value: number, uncertainty: number, unit: string): string {
  const decimals = Math.min(1, decimalsFor(uncertainty * 1000));
  return `${fixed(value * 1000, decimals)} ± ${(uncertainty * 1000).toFixed(decimals)} ${unit}`;
}

/** A limit, at the digits of the reading that it is held against. */
export function limit(value: number, uncertainty: number, unit: string): string {
  if (unit === '1') return value.toFixed(0);
  if (unit === 'rpm') return `${value.toFixed(0)} rpm`;
  if (unit === 'Ohm' && Math.abs(value) < 1) return `${(value * 1000).toFixed(0)} mΩ`;
  if (unit === 'A' && Math.abs(value) < 0.5 && uncertainty < 0.02) return `${(value * 1000).toFixed(0)} mA`;
  if (unit === 's' && Math.abs(value) < 1)
    return `${(value * 1000).toFixed(Math.abs(value) < 0.002 ? 1 : 0)} ms`;
  return withUnit(fixed(value, Math.min(2, Math.max(1, decimalsFor(uncertainty)))), unit);
}

/** Without a minus sign on a zero. */
function fixed(value: number, decimals: number): string {
  const text = value.toFixed(decimals);
  return Number(text) === 0 ? text.replace('-', '') : text;
}

/** `expected 3.4 to 4.8 A`, `at most 0.25 V`, `at least 6.0 V`. */
export function limitsText(
  lower: number | undefined,
  upper: number | undefined,
  uncertainty: number,
  unit: string,
): string {
  if (lower !== undefined && upper !== undefined) {
    if (lower === upper) return `expected ${limit(lower, uncertainty, unit)}`;
    return `expected ${limit(lower, uncertainty, unit).replace(/ [^ ]+$/, '')} to ${limit(upper, uncertainty, unit)}`;
  }
  if (upper !== undefined) return `at most ${limit(upper, uncertainty, unit)}`;
  if (lower !== undefined) return `at least ${limit(lower, uncertainty, unit)}`;
  return '';
}

/** `forward` -> `Forward`, `reverse2` -> `Reverse, throw 2`. */
export function throwWords(name: string): string {
  const [, way, nth] = /^([a-z]+)(\d*)$/.exec(name) ?? ['', name, ''];
  const word = `${way![0]!.toUpperCase()}${way!.slice(1)}`;
  return nth ? `${word}, throw ${nth}` : word;
}

/** Check ids: `inrush-forward`, `inrush-reverse-2`. */
export function throwId(prefix: string, name: string): string {
  return `${prefix}-${name.replace(/(\d+)$/, '-$1')}`;
}
