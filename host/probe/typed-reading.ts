// A reading as a person types it: a number with its unit, `open`, yes or no. What cannot be meant is told in one line.

import { unitOf } from './hand-meter.js';
import type { Probe, Reading } from './probe.js';

/** Names that people write, in any case; the prefix before them in its own: m is a thousandth, M a million. */
const NAMES: Record<string, 'V' | 'Ohm'> = {
  ...{ v: 'V', volt: 'V', volts: 'V' },
  ...{ ohm: 'Ohm', ohms: 'Ohm', ω: 'Ohm', r: 'Ohm' },
};
const PREFIXES: Record<string, number> = { m: 1e-3, k: 1e3, K: 1e3, M: 1e6 };
/** A prefix by itself is of ohms, as it stands on a display. */
const ALONE = new Set(['k', 'K', 'M']);
const OPEN = new Set([
  'open',
  'ol',
  'o.l',
  'o.l.',
  'ol.',
  '0l',
  '0.l',
  'overload',
  'infinite',
  'infinity',
  'inf',
  '∞',
]);
const YES = new Set(['yes', 'y']);
const NO = new Set(['no', 'n']);
/** No bench of this kind has more. */
const MOST_V = 60;
/** A hand meter's diode range ends there (common data sheet figure). */
const MOST_DIODE_V = 2;

export type Typed = { reading: Reading } | { wrong: string };

/** What such a reading looks like, for whoever is asked. */
export function askedFor({ takes }: Probe): string {
  if (takes.kind === 'answer') return 'yes or no';
  switch (takes.range) {
    case 'ohms':
      return 'ohms, such as 85 Ohm, or open';
    case 'diode':
      return 'volts, such as 0.65 V, or open';
    default:
      return 'volts, such as 11.8 V';
  }
}

export function typedReading(text: string, probe: Probe): Typed {
  const word = text.trim().toLowerCase();
  const wanted = `type ${askedFor(probe)}`;
  const wrong = (what: string, mend = wanted): Typed => ({
    wrong: `${JSON.stringify(text.trim())} ${what}: ${mend}`,
  });
  if (probe.takes.kind === 'answer') {
    if (YES.has(word)) return { reading: { kind: 'answer', yes: true } };
    return NO.has(word) ? { reading: { kind: 'answer', yes: false } } : wrong('is no answer');
  }
  const unit = unitOf(probe.takes.range);
  if (OPEN.has(word)) {
    return probe.takes.range === 'volts' ? wrong('is no voltage') : number(Number.POSITIVE_INFINITY);
  }
  if (/^[-+]?\d+,\d+/.test(word))
    return wrong('has a comma', `write ${text.trim().replace(',', '.')}, with a point`);
  const [, digits, name = ''] = NUMBER.exec(pointed(text.trim())) ?? [];
  if (digits === undefined) return wrong('is no reading');
  const told = unitTold(name);
  if (name !== '' && told === undefined) return wrong(`has a unit that is not known here`);
  if (told !== undefined && told.unit !== unit) return wrong(`is not in ${unit === 'V' ? 'volts' : 'ohms'}`);
  const value = Number(digits) * (told?.factor ?? 1);
  if (unit === 'Ohm' && value < 0) return wrong('is less than nothing');
  if (probe.takes.range === 'diode' && Math.abs(value) > MOST_DIODE_V)
    return wrong('is more than the diode range shows');
  if (unit === 'V' && Math.abs(value) > MOST_V) return wrong(`is more than this bench has`);
  return number(value);
}

const NUMBER = /^([-+]?(?:\d+\.?\d*|\.\d+))\s*(\D*)$/;

/** `1k2` and `4R7`, as they stand on drawings and resistors, as `1.2k` and `4.7R`. */
function pointed(text: string): string {
  const [, whole, mark, part] = /^(\d+)([kKRM])(\d+)$/.exec(text) ?? [];
  return mark === undefined ? text : `${whole}.${part}${mark}`;
}

function unitTold(name: string): { unit: 'V' | 'Ohm'; factor: number } | undefined {
  if (ALONE.has(name)) return { unit: 'Ohm', factor: PREFIXES[name] ?? 1 };
  const plain = NAMES[name.toLowerCase()];
  if (plain !== undefined) return { unit: plain, factor: 1 };
  const factor = PREFIXES[name.charAt(0)];
  const unit = NAMES[name.slice(1).trim().toLowerCase()];
  return factor === undefined || unit === undefined ? undefined : { unit, factor };
}

const number = (value: number): Typed => ({ reading: { kind: 'number', value } });
