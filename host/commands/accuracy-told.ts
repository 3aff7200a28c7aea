// The accuracy of an instrument as its sheet states it: `1.5 % + 20 mA`, for all channels of that unit or for one.

import { CHANNEL, CHANNELS, mappedRoles, unitOf } from '../capture/index.js';
import type { Instrument } from '../measure/index.js';
import { UsageError } from './command.js';

/** @throws UsageError for what is no accuracy. */
export function instrumentTold(told: string | boolean | string[] | undefined): Instrument | undefined {
  if (!Array.isArray(told)) return undefined;
  const instrument: Instrument = {};
  for (const text of told) {
    const [role, limits] = text.includes('=') ? text.split('=', 2) : [undefined, text];
    const { part, constant, unit } = limitsOf(limits ?? '', text);
    const named = role === undefined ? undefined : mappedRoles[role.trim().toLowerCase()];
    if (role !== undefined && named === undefined)
      throw new UsageError(`--accuracy '${text}': ${role} should be ${Object.keys(mappedRoles).join(', ')}`);
    for (const channel of named ? [named] : CHANNELS) {
      const own = CHANNEL[channel].unit;
      if (unit !== undefined && unit !== own) {
        if (named) throw new UsageError(`--accuracy '${text}' gives ${unit} to a channel in ${own}`);
        continue;
      }
      instrument[channel] = { part, constant };
    }
  }
  return instrument;
}

function limitsOf(
  limits: string,
  text: string,
): { part: number; constant: number; unit: 'A' | 'V' | undefined } {
  let part = 0;
  let constant = 0;
  let unit: 'A' | 'V' | undefined;
  const wrong = new UsageError(
    `--accuracy '${text}' should be such as "1.5 % + 20 mA", "0.5 %" or "motor=1 % + 50 mA"`,
  );
  const terms = limits.replaceAll('\u00b1', '').split('+');
  for (const term of terms) {
    const found = /^\s*(\d+(?:[.,]\d+)?)\s*(%|[a-zA-Z\u00b5\u03bc]+)(?:\s*of\s+(?:reading|rdg))?\s*$/.exec(
      term,
    );
    if (!found) throw wrong;
    const value = Number((found[1] ?? '').replace(',', '.'));
    if (found[2] === '%') part += value / 100;
    else {
      const told = unitOf(found[2] ?? '');
      if (told?.kind !== 'current' && told?.kind !== 'voltage') throw wrong;
      unit = told.kind === 'current' ? 'A' : 'V';
      constant += (value * told.up) / told.down;
    }
  }
  if (part >= 1) throw wrong;
  return { part, constant, unit };
}
