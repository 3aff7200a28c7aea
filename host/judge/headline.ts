// What a person reads first: the likely cause, what to touch next, and the reading that proves it; of a unit that passes,
// what its motor does. Where no cause is likely, the reading furthest out.

import { HEALTHY } from '../diagnose/index.js';
import { isFullThrow, type Measured, type QuantityName, type Reading } from '../measure/index.js';
import { briefly, listed, lowered, withoutStop } from '../tell/index.js';
import { isProtector } from './checks/held-rotor.js';
import type { Check, Finding, Verdict } from './verdict.js';
import { reasonOf } from './verdict-rule.js';

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
    return `${opened ? `${opened.sentence} ` : whatItDoes(measured)}${reason}`;
  }
  const [first] = findings;
  // What bench or hand may have done is ruled out before any cause is told.
  const isOfBench = checks.some(
    ({ kind, of, outcome }) =>
      (kind.rank < 0 && (verdict !== 'fail' || outcome === 'fail')) || (of === 'hand' && outcome !== 'pass'),
  );
  const isCause = first?.causes !== undefined && first.id !== HEALTHY && first.likelihood >= LIKELY;
  if (!isCause || isOfBench) return reason;
  const keptOff = checks.find(({ kind, outcome }) => kind.keepsFeedOff && outcome === 'fail');
  return [causeWords(first), ...(keptOff ? [keptOff.sentence] : [])].join(' ');
}

function causeWords({ causes = [], nextProbe, proof = [] }: Finding): string {
  const named = causes.slice(0, MOST_NAMED).map(({ sentence }, i) => {
    const cause = withoutStop(sentence);
    return i === 0 ? cause : lowered(cause);
  });
  const more = causes.length - named.length;
  const words = [...named, ...(more > 0 ? [`${more} more`] : [])].join('; or ');
  return [`${words}.`, `Next: ${nextProbe}`, ...proof.slice(0, 1)].join(' ');
}

/** Running and starting current of each way; empty where nothing runs. */
function whatItDoes(measured: Measured): string {
  const ways = (what: QuantityName): string =>
    listed(
      Object.values(measured)
        .filter(
          (reading): reading is Reading & Required<Pick<Reading, 'of'>> =>
            reading.what === what &&
            reading.of !== undefined &&
            isFullThrow(reading.of) &&
            reading.of.nth === 1,
        )
        .map(
          ({ value, unit, of, atLeast }) =>
            `${atLeast ? 'at least ' : ''}${briefly(value, unit)} ${of.position}`,
        ),
    );
  const [runs, starts] = [ways('runningCurrentA'), ways('inrushPeakA')];
  if (runs === '' || starts === '') return '';
  return `Runs at ${runs}, starts with ${starts}. `;
}
