// The meter checks as a sheet to tick: what is said of each in words, in plain lines and as a page of its own.

import type { MeterCheck, MeterChecks, Shows } from '../plan/index.js';
import type { ResolvedUnit } from '../profile/index.js';
import { wrapWords } from '../screens/index.js';
import { amount, fixed } from '../tell/index.js';

export const SHEET_RULES = [
  'Nothing is fed: the supply is off and taken off. Touch the two tips together first and take what they show off every reading in Ω.',
  'A motor that turns is a generator: wait until it stands.',
];
const MOST_CAUSES = 2;
/** Above this it is no joint but a part with a resistance of its own. */
const JOINT_OHM = 1;

/** `at most 0.4 Ω`, `open`, `70.1 to 81.0 Ω`, `at most 0.1 V, not open`. */
export function showsWords(range: MeterCheck['reading']['range'], { least, most }: Shows): string {
  if (most === Number.POSITIVE_INFINITY) return 'open';
  if (range === 'diode')
    return `${least > 0 ? `${fixed(least, 1)} to` : 'at most'} ${amount(most, 'V', 1)}, not open`;
  return most < JOINT_OHM
    ? `at most ${amount(most, 'Ohm', 1)}`
    : `${fixed(least, 1)} to ${amount(most, 'Ohm', 1)}`;
}

/** What a wrong reading means, the causes that no other reading of the sheet shows first. */
export function causesOf({ onlyHere, sees }: MeterCheck): string {
  const causes = [...new Set([...onlyHere, ...sees])].map(({ cause }) => cause);
  const more = causes.length - MOST_CAUSES;
  return [...causes.slice(0, MOST_CAUSES), ...(more > 0 ? [`${more} more`] : [])].join('; or ');
}

export const tipsWords = ({ reading: { range, from, to } }: MeterCheck): string =>
  range === 'diode'
    ? `diode range, plus on ${from.words}, minus on ${to.words}`
    : `${from.words} to ${to.words}`;

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

export function sheetLines(unit: ResolvedUnit, { checks, unseen }: MeterChecks, columns: number): string[] {
  const wrapped = (text: string, first = '', indent = first): string[] =>
    wrapWords(text, columns - indent.length).map((line, i) => `${i === 0 ? first : indent}${line}`);
  let number = 0;
  return [
    ...wrapped(`Meter checks before power. ${headWords(unit)}.`),
    ...SHEET_RULES.flatMap((rule) => wrapped(rule)),
    ...byState(checks).flatMap(({ state, checks: same }) => [
      '',
      ...wrapped(`${state.charAt(0).toUpperCase()}${state.slice(1)}:`),
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
    ...wrapped(`A meter without current cannot see (${unseen.length}):`),
    ...unseen.flatMap(({ cause }) => wrapped(cause, '  - ', '    ')),
  ];
}
