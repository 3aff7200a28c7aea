// One run of a relay by itself judged: measured, checked, told as a verdict, and diagnosed when it did not pass.

import type { ResolvedUnit } from '../../profile/index.js';
import type { Expectation } from '../expectation.js';
import type { JudgeRequest } from '../judge.js';
import type { Check, Judgement } from '../verdict.js';
import { reasonOf, verdictOf } from '../verdict-rule.js';
import { relayChecks } from './checks.js';
import { relayFindings } from './findings.js';
import { measureRelayUnit, relayOf } from './measuring.js';
import { type RelayPattern, relayPatterns } from './patterns.js';

const known = new WeakMap<Expectation, RelayPattern[]>();

/** The hypotheses' readings, simulated on first use and kept with the expectation. */
export function relayPatternsFor(unit: ResolvedUnit, expected: Expectation): RelayPattern[] {
  let patterns = known.get(expected);
  if (!patterns) {
    patterns = relayPatterns(unit);
    known.set(expected, patterns);
  }
  return patterns;
}

export function judgeRelay({ unit, capture, expectation, stop }: JudgeRequest): Judgement {
  const seen = measureRelayUnit(unit, capture);
  const checks = relayChecks({ unit, relay: relayOf(unit), seen, stop });
  const verdict = verdictOf(checks, unit.unit.rules.conditionalPassCounts);
  return {
    verdict,
    sentence: reasonOf(verdict, inOrder(checks)),
    checks,
    findings: verdict === 'pass' ? [] : relayFindings(seen, relayPatternsFor(unit, expectation)),
    measured: seen.measured,
  };
}

/** What tells most comes first: the coil before the contacts, the contacts before their times. */
const ORDER = [
  'supply',
  'coil-resistance',
  'weld',
  'rest-contact',
  'operates',
  'returns',
  'suppression',
  'make-drop',
  'break-drop',
];

function inOrder(checks: readonly Check[]): Check[] {
  const placeOf = ({ id }: Check): number => {
    const at = ORDER.indexOf(id);
    return at < 0 ? ORDER.length : at;
  };
  return [...checks].sort((a, b) => placeOf(a) - placeOf(b));
}
