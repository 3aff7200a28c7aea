// What the lines above a table tell of it: the rate or the step of its samples, the unit of a channel. Keys as
// instruments commonly write them; whatever else stands there is left alone.

import { headingOf } from './headings.js';
import { inSi, type Unit, unitOf } from './units.js';

export interface Told {
  line: number;
  key: string;
  values: string[];
}

const NAME = '(?:sampl(?:e|ing)|scan|acquisition|record(?:ing)?|data|log(?:ging)?|horizontal|time|x|h|bin)';
const RATE = new RegExp(
  `^(?:${NAME}[\\s_-]*)?(?:rate|frequency|freq)$|^(?:fs|f_s|samples?[\\s_-]*per[\\s_-]*sec(?:ond)?|samplerate)$`,
  'i',
);
const STEP = new RegExp(
  `^(?:${NAME}[\\s_-]*)?(?:interval|period|increment|inc|incr|step|spacing|resolution|width)$|^(?:dt|d_t|delta[\\s_-]*t|Δt|delta[\\s_-]*x|xincr|xinc|hstep|increment|tick)$`,
  'i',
);
const UNIT = /^(?:vertical|y|v|ch(?:annel)?)?[\s_-]*units?$/i;

/** Records as key and values: `Key,value`, `Key: value`, `Key=value`. */
export function toldIn(cells: readonly string[], line: number): Told | undefined {
  const filled = cells.map((cell) => cell.trim()).filter((cell) => cell !== '');
  const [first, ...values] = filled;
  if (first === undefined) return undefined;
  const pair = /^([^:=]{1,60}?)\s*[:=]\s*(.*)$/.exec(first);
  if (pair)
    return { line, key: pair[1] ?? '', values: [pair[2] ?? '', ...values].filter((cell) => cell !== '') };
  return { line, key: first, values };
}

/** Step of the samples in seconds, by a rate or an interval. Values that disagree by more than a thousandth: both are given. */
export function stepsIn(told: readonly Told[]): { stepS: number; told: Told }[] {
  const found: { stepS: number; told: Told }[] = [];
  for (const entry of told) {
    const heading = headingOf(entry.key);
    const bare = heading.name.replace(/[\s_]*[([].*[)\]]\s*$/, '').trim();
    const number = numberIn(entry.values);
    if (number === undefined || !(number.value > 0)) continue;
    if (STEP.test(bare)) {
      const unit = heading.unit ?? number.unit;
      if (unit !== undefined && unit.kind !== 'time') continue;
      found.push({ stepS: unit ? inSi(number.value, unit) : number.value, told: entry });
    } else if (RATE.test(bare)) {
      const perSecond = hertz(/[([]\s*(.*?)\s*[)\]]/.exec(entry.key)?.[1] ?? number.word);
      if (perSecond !== undefined) found.push({ stepS: 1 / (number.value * perSecond), told: entry });
    }
  }
  return found;
}

function numberIn(
  values: readonly string[],
): { value: number; word: string; unit: Unit | undefined } | undefined {
  const text = values.slice(0, 2).join(' ');
  const found = /^([-+]?(?:\d+[.,]?\d*|[.,]\d+)(?:[eE][-+]?\d+)?)\s*(\S*)/.exec(text);
  if (!found) return undefined;
  const word = found[2] ?? '';
  return { value: Number((found[1] ?? '').replace(',', '.')), word, unit: unitOf(word) };
}

/** Samples a second of one of a rate's unit: none told means a second. */
function hertz(word: string): number | undefined {
  const found = /^([kMG]?)(?:hz|sa?\/s(?:ec)?|sps|samples?\/s(?:ec)?|s\/s|1\/s|\/s)?$/i.exec(word);
  if (!found) return word === '' ? 1 : undefined;
  return { '': 1, k: 1e3, m: 1e6, g: 1e9 }[(found[1] ?? '').toLowerCase()];
}

/** The unit that the preamble gives the values of its one channel; undefined where there is none or several. */
export function unitIn(told: readonly Told[]): Unit | undefined {
  const units = told
    .filter(({ key }) => UNIT.test(key.trim()) && /vertical|^y|^v|^units?$|ch/i.test(key.trim()))
    .flatMap(({ values }) => values.flatMap((value) => unitOf(value) ?? []))
    .filter(({ kind }) => kind === 'current' || kind === 'voltage');
  return units.length === 1 ? units[0] : undefined;
}
