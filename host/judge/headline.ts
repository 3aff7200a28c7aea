// What a person reads first: the likely cause, what to touch next, and the reading that proves it; of a unit that passes,
// what its motor does. Where no cause is likely, the reading furthest out.

import { HEALTHY } from '../diagnose/index.js';
import type { Measured } from '../measure/index.js';
import { capitalised, lowered, withoutStop } from '../tell/index.js';
import { isProtector } from './checks/held-rotor.js';
import type { Check, Finding, Verdict } from './verdict.js';
import { reasonOf } from './verdict-rule.js';
import { type Shown, whatItDoes } from './what-it-does.js';

/** A cause less likely than this is none to begin with. Choice of this program, no source. */
const LIKELY = 0.5;
const MOST_NAMED = 2;

export function headlineOf(
  verdict: Verdict,
  checks: readonly Check[],
  { findings, measured }: { findings: readonly Finding[]; measured: Measured },
): string {
  const reason = reasonOf(verdict, checks);
  if (verdict === 'pass') {
    // A rotor that was held did not run.
    const opened = checks.find((check) => isProtector(check) && check.outcome.endsWith('pass'));
    const shown = whatItDoes(measured, checks);
    const closest = shown.find(({ about }) => about === 'closest');
    return [
      opened ? opened.sentence : doesWords(shown),
      reason,
      closest && !opened ? `Closest to a limit: ${lowered(closest.words)}` : '',
    ]
      .filter((words) => words !== '')
      .join(' ');
  }
  const cause = causeOf(verdict, checks, findings);
  if (cause === undefined)
    return pointsToNothing(checks, findings)
      ? [NOTHING_POINTS, doesWords(whatItDoes(measured, checks)), reason]
          .filter((words) => words !== '')
          .join(' ')
      : reason;
  const keptOff = checks.find(({ kind, outcome }) => kind.keepsFeedOff && outcome === 'fail');
  return [causeWords(cause), ...(keptOff ? [keptOff.sentence] : [])].join(' ');
}

/** What the headline begins with. */
export function saysOf(
  verdict: Verdict,
  checks: readonly Check[],
  findings: readonly Finding[],
): 'cause' | 'reading' | 'pass' {
  if (verdict === 'pass') return 'pass';
  return causeOf(verdict, checks, findings) === undefined ? 'reading' : 'cause';
}

/** The cause that comes before any reading; undefined where none is likely, or bench or hand may have done it. */
function causeOf(
  verdict: Verdict,
  checks: readonly Check[],
  [first]: readonly Finding[],
): Finding | undefined {
  // What bench or hand may have done is ruled out before any cause is told.
  const isOfBench = checks.some(
    ({ kind, of, outcome }) =>
      (kind.rank < 0 && (verdict !== 'fail' || outcome === 'fail')) || (of === 'hand' && outcome !== 'pass'),
  );
  // Where every reading that was taken is as it should be, nobody is accused first.
  const isOut = checks.some(({ outcome }) => outcome === 'fail' || outcome === 'conditional-fail');
  const isCause = isOut && first?.causes !== undefined && first.id !== HEALTHY && first.likelihood >= LIKELY;
  return isCause && !isOfBench ? first : undefined;
}

const NOTHING_POINTS = 'As far as it was tested, nothing points to a fault.';

/** Whether all that keeps it from passing is what was not tested. */
function pointsToNothing(checks: readonly Check[], [first]: readonly Finding[]): boolean {
  const isClear = checks.every(
    ({ kind, outcome, required }) =>
      outcome.endsWith('pass') || (outcome === 'not-tested' && (kind.rank >= 0 || !required)),
  );
  return isClear && first?.id === HEALTHY && first.likelihood >= LIKELY;
}

function causeWords({ causes = [], nextProbe, proof = [] }: Finding): string {
  const named = causes.slice(0, MOST_NAMED).map(({ sentence }, i) => {
    const cause = withoutStop(sentence);
    return i === 0 ? cause : lowered(cause);
  });
  const more = causes.length - named.length;
  const words = [...named, ...(more > 0 ? [`${more} more`] : [])].join('; or ');
  return [
    `${words}.`,
    `Next probe: ${nextProbe}`,
    ...proof.slice(0, 1).map((shown) => `Shown by ${lowered(shown)}`),
  ].join(' ');
}

/** Told by themselves. */
const SENTENCES: readonly Shown['about'][] = ['closest', 'checks', 'generic'];

/** `Runs at …; starts with …; brakes with ….`; empty where nothing runs. */
function doesWords(shown: readonly Shown[]): string {
  const clauses = shown.filter(({ about }) => !SENTENCES.includes(about)).map(({ words }) => words);
  return clauses.length === 0 ? '' : `${capitalised(clauses.join('; '))}.`;
}
