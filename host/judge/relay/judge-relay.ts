// One run of a relay by itself: measured, asked, and ready to be diagnosed.

import type { Case, CauseLibrary, JudgeRequest } from '../judge.js';
import type { Finding } from '../verdict.js';
import { relayChecks } from './checks.js';
import { relayFindings } from './findings.js';
import { measureRelayUnit, relayOf } from './measuring.js';

/** @param library asked for only when the run did not pass. */
export function relayCase({ unit, capture, stop }: JudgeRequest, library: () => CauseLibrary): Case {
  const seen = measureRelayUnit(unit, capture);
  const findings = (): Finding[] => {
    const { kind, entries } = library();
    if (kind !== 'relay') throw new RangeError('the library is of a unit that throws');
    return relayFindings(seen, entries);
  };
  return {
    checks: relayChecks({ unit, relay: relayOf(unit), seen, stop }),
    measured: seen.measured,
    findings,
  };
}
