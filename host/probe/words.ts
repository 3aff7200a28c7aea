// A probe, what was taken and what is left, in words.

import { amount, capitalised, listed, percent, significant, withoutStop } from '../tell/index.js';
import type { Conclusion } from './choose.js';
import type { Range } from './hand-meter.js';
import type { Expected, Probe } from './probe.js';
import type { Ranked } from './probing.js';
import { expectedOf } from './weigh.js';

/** Outcomes told, and causes named one by one. */
const MOST_TOLD = 3;
const MOST_LEFT = 5;
/** Readings that a hand holds apart without doubt. Choices of this program, no source. */
const APART: Record<Range, number> = { volts: 0.5, 'rig-volts': 0.5, ohms: 1.5, diode: 0.2 };
const APART_PART = 0.15;

/** `12.4 V: the coil of K2 is open; 0.0 V: the coil wire to 86 of K2 is open`, of the likeliest. */
export function meaningsOf(probe: Probe, left: readonly Ranked[]): string {
  const outcomes: { text: string; expected: Expected; members: Ranked[] }[] = [];
  for (const ranked of left) {
    const expected = expectedOf(probe, ranked.suspect)[ranked.parts.indexOf(Math.max(...ranked.parts))];
    if (expected === undefined) continue;
    const same = outcomes.find((outcome) => !isApart(outcome.expected, expected, probe));
    if (same) same.members.push(ranked);
    else outcomes.push({ text: expectedText(expected, probe), expected, members: [ranked] });
  }
  return outcomes
    .slice(0, MOST_TOLD)
    .map(({ text, members: [first, ...others] }) => {
      const more = others.length > 0 ? `, or ${others.length} more` : '';
      return `${text}: ${first?.suspect.cause.cause ?? ''}${more}`;
    })
    .join('; ');
}

function expectedText(expected: Expected, { takes }: Probe): string {
  if ('yes' in expected) return expected.yes >= 0.5 ? 'yes' : 'no';
  const { value } = expected;
  if (!Number.isFinite(value)) return 'open';
  const isOhm = takes.kind === 'number' && takes.range === 'ohms';
  if (!isOhm) return amount(value, 'V', 1);
  return value < 100 ? amount(value, 'Ohm', 1) : significant(value, 2, 'Ohm');
}

function isApart(a: Expected, b: Expected, { takes }: Probe): boolean {
  if ('yes' in a || 'yes' in b) return !('yes' in a && 'yes' in b) || a.yes >= 0.5 !== b.yes >= 0.5;
  if (a.value === b.value) return false;
  if (!Number.isFinite(a.value) || !Number.isFinite(b.value)) return true;
  const least = APART[takes.kind === 'number' ? takes.range : 'volts'];
  return Math.abs(a.value - b.value) > Math.max(least, APART_PART * Math.max(a.value, b.value));
}

/** The causes still in question, a line each. */
export function leftLines(left: readonly Ranked[]): string[] {
  const shown = left.slice(0, MOST_LEFT);
  const more = left.length - shown.length;
  return [
    ...shown.map(({ suspect, chance }) => `${percent(chance).padStart(6)}  ${suspect.cause.sentence}`),
    ...(more > 0 ? [`        and ${more} more`] : []),
  ];
}

/** How a probing ended: the cause first, then what to do. */
export function conclusionText(end: Exclude<Conclusion, { kind: 'open' }>): string {
  switch (end.kind) {
    case 'one': {
      const [{ suspect, chance }] = end.left;
      const { sentence, nextProbe } = suspect.cause;
      return `${sentence} One cause is left, ${percent(chance)}. To confirm it: ${nextProbe}`;
    }
    case 'group': {
      const causes = end.left.map(({ suspect }) => suspect.cause.cause);
      const named = causes.slice(0, MOST_LEFT);
      const more = causes.length - named.length;
      const words = listed(more > 0 ? [...named, `${more} more`] : named, 'or');
      return `${capitalised(words)}. No probe here parts these. First: ${withoutStop(end.left[0]?.suspect.cause.nextProbe ?? '')}.`;
    }
    case 'unlisted':
      return 'Nothing on the list of faults gives these readings. Check the profile against the unit and measure again.';
  }
}
