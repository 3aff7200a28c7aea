// `npm run judging -- --bench stranger`: what another instrument would have brought of random units, with fewer channels
// and with things that happen beside the unit; one row each, and of each row the shares of every style.

import type { Capture } from '../../host/capture/index.js';
import { seededRandom } from '../../host/circuit/index.js';
import { diagnosisLibrary } from '../../host/diagnose/index.js';
import { asWitnessed, expectation, judge } from '../../host/judge/index.js';
import { type MeasureResult, measure } from '../../host/measure/index.js';
import type { ResolvedUnit } from '../../host/profile/index.js';
import { type JudgedUnit, judgedAs } from './judged-unit.js';
import { percent, wilson } from './judging-table.js';
import { type RandomUnit, randomUnit } from './random-unit.js';
import { isShownBy } from './shown.js';
import { HAPPENS, type Happens, SEEN, type Seen, strangerRun, weldOf } from './stranger-run.js';

export interface Row {
  seen: Seen;
  happens: Happens;
}
export interface StrangerUnit extends JudgedUnit {
  row: string;
  style: string;
}

const UNTOLD = { positionKnown: false } as Capture;
const SEEN_BY = Object.keys(SEEN) as Seen[];
const HAPPENING = Object.keys(HAPPENS) as Happens[];

export const ROWS: readonly Row[] = HAPPENING.flatMap((happens) =>
  SEEN_BY.map((seen) => ({ seen, happens })),
);
export const nameOf = ({ seen, happens }: Row): string => `${happens}, ${seen}`;

/** Rows by name, such as `dip/leads`; all of them when nothing is asked. @throws RangeError for another name */
export function rowsAsked(asked: string | undefined): readonly Row[] {
  if (asked === undefined) return ROWS;
  return asked.split(',').map((name) => {
    const found = ROWS.find(({ seen, happens }) => name === `${happens}/${seen}`);
    if (found === undefined) throw new RangeError(`no row ${name}`);
    return found;
  });
}

/** `each` units of every row. */
export function* judgedStrangers(
  unit: ResolvedUnit,
  rows: readonly Row[],
  { each, seed }: { each: number; seed: number },
): Generator<StrangerUnit> {
  // Of no capture that was read here is it told what was thrown.
  const witnessed = asWitnessed(unit, UNTOLD);
  const expected = expectation(witnessed);
  const library = diagnosisLibrary(witnessed);
  if (expected.kind !== 'unit') throw new RangeError(`${unit.unit.id} throws no motor`);
  const read = (capture: Capture): MeasureResult =>
    measure(capture, { rig: unit.rig, nominalVoltageV: unit.motor.nominalVoltageV });
  for (const row of rows) {
    const random = seededRandom(seed);
    for (let n = 0; n < each; n++) {
      const drawn = randomUnit(unit, random);
      const weld =
        row.happens === 'welds'
          ? weldOf({ ...drawn, virtualCase: { ...drawn.virtualCase, faults: [] } })
          : undefined;
      if (row.happens === 'welds' && (weld === undefined || drawn.truth !== 'healthy')) continue;
      const one = weld === undefined ? drawn : { ...drawn, truth: weld };
      const happening = HAPPENS[row.happens](random, one);
      const capture = strangerRun(one, row, happening);
      const judgement = judge({ unit: witnessed, capture, expectation: expected, library: () => library });
      const isShown =
        one.truth === 'healthy' ||
        isShownBy(
          read(capture),
          read(strangerRun(withoutFault(one), row, row.happens === 'welds' ? {} : happening)),
          expected,
        );
      yield {
        ...judgedAs(one, judgement, new Set(isShown ? [] : [one.truth])),
        row: nameOf(row),
        style: unit.style.id,
      };
    }
  }
}

/** The same motor on the same bench. */
const withoutFault = ({ healthy, ...one }: RandomUnit): RandomUnit => ({
  ...one,
  truth: 'healthy',
  virtualCase: healthy ?? one.virtualCase,
});

const of = (part: number, all: number): string => {
  const [low, high] = wilson(all === 0 ? 0 : part / all, all);
  return all === 0 ? '-' : `${percent(part / all, 1)} (${percent(low, 0)} to ${percent(high, 0)})`;
};

/** Shares of every row, of the styles in it, and the units that are worth a look. */
export function strangersTable(units: readonly StrangerUnit[]): string {
  const lines: string[] = [];
  for (const row of [...new Set(units.map((unit) => unit.row))]) {
    const within = units.filter((unit) => unit.row === row);
    lines.push(`${row}`, ...sharesOf(within).map((line) => `  ${line}`));
    for (const style of [...new Set(within.map((unit) => unit.style))].sort())
      lines.push(`    ${style.padEnd(34)} ${verdictsOf(within.filter((unit) => unit.style === style))}`);
  }
  lines.push('', 'Units to look into:');
  for (const unit of units)
    if (isWrong(unit))
      lines.push(
        `  ${unit.row} | ${unit.profile}, ${unit.truth}: ${unit.verdict}, place ${unit.rank + 1} | ${unit.detail}`,
      );
  return lines.join('\n');
}

const isHealthy = ({ truth }: JudgedUnit): boolean => truth === 'healthy';
const isAccused = (unit: JudgedUnit, from: number): boolean => {
  const [first] = unit.findings;
  return (
    unit.accuses && first !== undefined && (isHealthy(unit) || !first.isRight) && first.likelihood >= from
  );
};
const isWrong = (unit: JudgedUnit): boolean =>
  isHealthy(unit)
    ? unit.verdict === 'fail' || isAccused(unit, 0.5)
    : unit.isShown && (unit.rank !== 0 || unit.verdict === 'pass');

function sharesOf(units: readonly StrangerUnit[]): string[] {
  const healthy = units.filter(isHealthy);
  const faulty = units.filter((unit) => !isHealthy(unit) && unit.isShown);
  const count = (list: readonly JudgedUnit[], is: (unit: JudgedUnit) => boolean): number =>
    list.filter(is).length;
  return [
    `healthy ${healthy.length}: pass ${of(
      count(healthy, ({ verdict }) => verdict.endsWith('pass')),
      healthy.length,
    )}, fail ${of(
      count(healthy, ({ verdict }) => verdict === 'fail'),
      healthy.length,
    )}, accused at 50 % or more ${of(
      count(healthy, (unit) => isAccused(unit, 0.5)),
      healthy.length,
    )}`,
    `faulty ${faulty.length}: pass ${of(
      count(faulty, ({ verdict }) => verdict.endsWith('pass')),
      faulty.length,
    )}, first or first group ${of(
      count(faulty, ({ rank }) => rank === 0),
      faulty.length,
    )}, wrong cause at 90 % or more ${of(
      count(faulty, (unit) => isAccused(unit, 0.9)),
      faulty.length,
    )}`,
  ];
}

function verdictsOf(units: readonly StrangerUnit[]): string {
  const share = (is: (verdict: string) => boolean): string =>
    percent(units.filter(({ verdict }) => is(verdict)).length / Math.max(1, units.length), 0);
  return `pass ${share((v) => v.endsWith('pass'))}, cannot tell ${share((v) => v === 'cannot-tell')}, fail ${share((v) => v === 'fail' || v === 'conditional-fail')} of ${units.length}`;
}
