// What good units of a profile do, worked out once for all tests that a process runs: with it the findings' library,
// which judging keeps by the expectation, is worked out once too.

import { type Expectation, expectation } from '../../host/judge/index.js';
import type { ResolvedUnit } from '../../host/profile/index.js';

const known = new Map<string, Expectation>();

/** Fewer draws than the profile's own where a test needs no exact limits. */
export function expectationOf(unit: ResolvedUnit, draws = unit.unit.rules.draws): Expectation {
  const key = `${draws} ${JSON.stringify(unit)}`;
  const expected = known.get(key) ?? expectation(unit, { draws });
  known.set(key, expected);
  return expected;
}
