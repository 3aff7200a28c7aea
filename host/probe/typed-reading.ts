// A reading as a person types it: a number with its unit, `open`, yes or no. What cannot be meant is told in one line.

import { unitOf } from './hand-meter.js';
import type { Probe, Reading } from './probe.js';

/** Prefixes and names that people write. */
const UNITS: Record<string, { unit: 'V' | 'Ohm'; factor: number }> = {
  v: { unit: 'V', factor: 1 },
  volt: { unit: 'V', factor: 1 },
  volts: { unit: 'V', factor: 1 },
  mv: { unit: 'V', factor: 1e-3 },
  ohm: { unit: 'Ohm', factor: 1 },
  ohms: { unit: 'Ohm', factor: 1 },
  Ω: { unit: 'Ohm', factor: 1 },
  ω: { unit: 'Ohm', factor: 1 },
  r: { unit: 'Ohm', factor: 1 },
  kohm: { unit: 'Ohm', factor: 1e3 },
  kω: { unit: 'Ohm', factor: 1e3 },
  k: { unit: 'Ohm', factor: 1e3 },
  mohm: { unit: 'Ohm', factor: 1e-3 },
  mω: { unit: 'Ohm', factor: 1e-3 },
};
const OPEN = new Set(['open', 'ol', 'o.l', 'o.l.', 'overload']);
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
  const [, digits, name = ''] = /^([-+]?(?:\d+\.?\d*|\.\d+))\s*(\D*)$/.exec(word) ?? [];
  if (digits === undefined) return wrong('is no reading');
  const told = UNITS[name];
  if (name !== '' && told === undefined) return wrong(`has a unit that is not known here`);
  if (told !== undefined && told.unit !== unit) return wrong(`is not in ${unit === 'V' ? 'volts' : 'ohms'}`);
  const value = Number(digits) * (told?.factor ?? 1);
  if (unit === 'Ohm' && value < 0) return wrong('is less than nothing');
  if (probe.takes.range === 'diode' && Math.abs(value) > MOST_DIODE_V)
    return wrong('is more than the diode range shows');
  if (unit === 'V' && Math.abs(value) > MOST_V) return wrong(`is more than this bench has`);
  return number(value);
}

const number = (value: number): Typed => ({ reading: { kind: 'number', value } });
