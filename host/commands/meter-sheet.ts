// The meter checks as a sheet to tick: what is said of each in words, in plain lines and as a page of its own.

import {
  lampSystemOf,
  type MeterCheck,
  type MeterChecks,
  type MeterWay,
  type Shows,
  tipsOf,
} from '../plan/index.js';
import type { ResolvedUnit } from '../profile/index.js';
import { wrapWords } from '../screens/index.js';
import { amount, capitalised, fixed, significant } from '../tell/index.js';

const SHEET_RULES = [
  'Nothing is fed: the supply is off and taken off. Touch the two tips together first and take what they show off every reading in Ω.',
  'A motor that turns is a generator: wait until it stands.',
];
const lampRules = (systemV: number): string[] => [
  `First prove it in ohms, without power. Then take a supply of ${systemV} V and lead its plus through a lamp: a short lights the lamp, and nothing blows.`,
  'A lamp that stays bright is a short: take the supply off and look for it in ohms.',
];
/** Lamps as everybody has them. Common practice, no source. */
const lampWords = (isRelay: boolean, systemV: number): string =>
  isRelay
    ? `The lamp is of ${systemV} V, 5 W, so that a diode the wrong way round survives it.`
    : `The lamp is of ${systemV} V, 21 W, and feeds the motor feed and the coil feed alike; the minus is on ground. The motor stays unplugged.`;

/** What to keep to while measuring. */
export function rulesOf(resolved: ResolvedUnit, way: MeterWay): string[] {
  if (way === 'ohms') return SHEET_RULES;
  const { unit, style } = resolved;
  const systemV = lampSystemOf(resolved);
  const isRelay = unit.subject === 'relay';
  const thrown =
    isRelay || style.thrownBy !== 'trigger'
      ? []
      : [
          `Thrown means: the trigger wire of that way held on ${style.triggerSide === 'ground' ? 'ground' : 'the coil feed'}.`,
        ];
  return [...lampRules(systemV), lampWords(isRelay, systemV), ...thrown];
}

const MOST_CAUSES = 2;
/** Above this it is no joint but a part with a resistance of its own. */
const JOINT_OHM = 1;

/** `at most 0.4 Ω`, `open`, `70.1 to 81.0 Ω`, `at most 0.1 V, not open`. */
export function showsWords(range: MeterCheck['reading']['range'], { least, most }: Shows): string {
  if (most === Number.POSITIVE_INFINITY) return 'open';
  if (range === 'diode')
    return `${least > 0 ? `${fixed(least, 1)} to` : 'at most'} ${amount(most, 'V', 1)}, not open`;
  if (range === 'volts')
    return least > 0 ? `${fixed(least, 1)} to ${amount(most, 'V', 1)}` : `at most ${amount(most, 'V', 1)}`;
  return most < JOINT_OHM
    ? `at most ${amount(most, 'Ohm', 1)}`
    : `${fixed(least, 1)} to ${amount(most, 'Ohm', 1)}`;
}

/** As a meter shows it: `0.2 Ω`, `1.20 kΩ`, `open`. */
export function readText(value: number, range: MeterCheck['reading']['range']): string {
  if (!Number.isFinite(value)) return 'open';
  if (range !== 'ohms') return amount(value, 'V', 2);
  return value < LEAST_LONG_OHM ? amount(value, 'Ohm', 1) : significant(value, 3, 'Ohm');
}
const LEAST_LONG_OHM = 100;

/** What a wrong reading means, the causes that no other reading of the sheet shows first. */
export function causesOf({ onlyHere, sees }: MeterCheck): string {
  const causes = [...new Set([...onlyHere, ...sees])].map(({ cause }) => cause);
  const more = causes.length - MOST_CAUSES;
  return [...causes.slice(0, MOST_CAUSES), ...(more > 0 ? [`${more} more`] : [])].join('; or ');
}

export const tipsWords = ({ reading }: MeterCheck): string => tipsOf(reading);

/** Checks with the same thing done before stand together. */
export function byState(checks: readonly MeterCheck[]): { state: string; checks: MeterCheck[] }[] {
  const states = new Map<string, MeterCheck[]>();
  for (const check of checks) {
    const { state } = check.reading;
    states.set(state, [...(states.get(state) ?? []), check]);
  }
  return [...states].map(([state, same]) => ({ state, checks: same }));
}

export const headWords = ({ unit, style }: ResolvedUnit): string => `${unit.title}: ${style.title}`;

/** At the head of a sheet. */
export const TITLES: Record<MeterWay, string> = {
  ohms: 'Meter checks before power',
  lamp: 'Meter checks through a lamp',
};

/** Over what stays hidden. */
export const unseenWords = (way: MeterWay): string =>
  way === 'lamp' ? 'A meter without the full current cannot see' : 'A meter without current cannot see';

export function sheetLines(
  unit: ResolvedUnit,
  { checks, unseen }: MeterChecks,
  { way, columns }: { way: MeterWay; columns: number },
): string[] {
  const wrapped = (text: string, first = '', indent = first): string[] =>
    wrapWords(text, columns - indent.length).map((line, i) => `${i === 0 ? first : indent}${line}`);
  let number = 0;
  return [
    ...wrapped(`${TITLES[way]}. ${headWords(unit)}.`),
    ...rulesOf(unit, way).flatMap((rule) => wrapped(rule)),
    ...byState(checks).flatMap(({ state, checks: same }) => [
      '',
      ...wrapped(`${capitalised(state)}:`),
      ...same.flatMap((check) => {
        number++;
        const shows = showsWords(check.reading.range, check.shows);
        return [
          ...wrapped(
            `${tipsWords(check)}: ${shows}`,
            `  [ ] ${String(number).padStart(2)}  `,
            ' '.repeat(10),
          ),
          ...wrapped(`else ${causesOf(check)}.`, ' '.repeat(10)),
        ];
      }),
    ]),
    '',
    ...wrapped(`${unseenWords(way)} (${unseen.length}):`),
    ...unseen.flatMap(({ cause }) => wrapped(cause, '  - ', '    ')),
  ];
}
