// Units as instruments write them in headings and cells, to SI by one factor (SI brochure, 9th edition, tables 4 and 7).

export interface Unit {
  kind: 'time' | 'current' | 'voltage' | 'other';
  /** How it is told. */
  name: string;
  /** SI value of one of it is `up / down`: a prefix below one divides, so that 1.5 mA is exactly the double 0.0015. */
  up: number;
  down: number;
}

/** Symbols by kind; only these take prefixes. */
const BASES: Record<string, Unit['kind']> = { s: 'time', A: 'current', V: 'voltage' };
const PREFIXES: Record<string, { up: number; down: number }> = {
  p: { up: 1, down: 1e12 },
  n: { up: 1, down: 1e9 },
  u: { up: 1, down: 1e6 },
  m: { up: 1, down: 1e3 },
  '': { up: 1, down: 1 },
  k: { up: 1e3, down: 1 },
};
const LONG_PREFIXES: Record<string, string> = { pico: 'p', nano: 'n', micro: 'u', milli: 'm', kilo: 'k' };
const BASE_WORDS: Record<string, string> = {
  s: 's',
  sec: 's',
  secs: 's',
  second: 's',
  seconds: 's',
  a: 'A',
  amp: 'A',
  amps: 'A',
  ampere: 'A',
  amperes: 'A',
  v: 'V',
  volt: 'V',
  volts: 'V',
};
const LONG_TIMES: Record<string, number> = {
  min: 60,
  mins: 60,
  minute: 60,
  minutes: 60,
  h: 3600,
  hr: 3600,
  hrs: 3600,
  hour: 3600,
  hours: 3600,
};
/** Of what else a logger samples beside: such a column is neither time nor current nor voltage. */
const OTHERS =
  /^(?:°|º|deg\.?\s*)[cfk]?$|^(?:k|celsius|fahrenheit|kelvin|%|rh|%rh|percent|[mk]?(?:ω|ohms?)|[mk]?w|watts?|[mkg]?hz|rpm|1\/min|r\/min|rad\/s|nm|n|n·m|mbar|bar|[kmh]?pa|counts?|raw|lsb|adc|bits?|points?|samples?|db|dbm|ah|mah|wh|mwh|c|g|kg|mm|m|l)$/;

const symbolUnit = (prefix: string, base: string): Unit => {
  const { up, down } = PREFIXES[prefix] ?? { up: 1, down: 1 };
  return { kind: BASES[base] ?? 'other', name: `${prefix === 'u' ? 'µ' : prefix}${base}`, up, down };
};

/**
 * The unit that a word is, whatever its spelling (mA, µs, usec, Volts, milliamps, VDC); undefined for none.
 * @param isUpper the heading around it is written in capitals: then an M before A, V or S can only be milli.
 */
export function unitOf(word: string, isUpper = false): Unit | undefined {
  const text = word
    .trim()
    .replaceAll(/[\u00b5\u03bc]/g, 'u')
    .replace(/[\s_-]*(?:dc|ac|rms)$/i, '')
    .replace(/\.$/, '');
  if (text === '' || text.length > 16) return undefined;
  const exact = /^([pnumk]?)([sAV])$/.exec(text);
  if (exact) return symbolUnit(exact[1] ?? '', exact[2] ?? '');
  const lower = text.toLowerCase();
  const minutes = LONG_TIMES[lower];
  if (minutes !== undefined && text !== 'H')
    return { kind: 'time', name: minutes === 60 ? 'min' : 'h', up: minutes, down: 1 };
  const spelt = /^(pico|nano|micro|milli|kilo)?[\s-]?(.+)$/.exec(lower);
  const long = spelt?.[1];
  const rest = spelt?.[2] ?? lower;
  if (long !== undefined && BASE_WORDS[rest]) return symbolUnit(LONG_PREFIXES[long] ?? '', BASE_WORDS[rest]);
  if (BASE_WORDS[lower]) return symbolUnit('', BASE_WORDS[lower]);
  const short = /^([pnumk])(.+)$/.exec(lower);
  const base = BASE_WORDS[short?.[2] ?? ''];
  // A capital M is mega. Where all is in capitals it tells nothing, and nobody measures megamperes.
  if (short && base && (!text.startsWith('M') || isUpper)) return symbolUnit(short[1] ?? '', base);
  return OTHERS.test(lower) ? { kind: 'other', name: word.trim(), up: 1, down: 1 } : undefined;
}

/** In the SI unit of its kind. */
export const inSi = (value: number, { up, down }: Pick<Unit, 'up' | 'down'>): number => (value * up) / down;

export const isSi = ({ up, down }: Pick<Unit, 'up' | 'down'>): boolean => up === 1 && down === 1;
