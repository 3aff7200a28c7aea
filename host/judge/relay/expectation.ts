// What a good relay's run looks like, for drawing behind the traces. Its limits come from profile and published ranges
// (limits.ts), not from draws.

import { Draws, nominalInput } from '../../circuit/index.js';
import { type ResolvedUnit, withoutRamp } from '../../profile/index.js';
import type { ExpectationOptions, RelayExpectation } from '../expectation.js';

/** For the eye only. */
const DRAWS = 6;

export function relayExpectation(unit: ResolvedUnit, options: ExpectationOptions = {}): RelayExpectation {
  // How a person turns the supply is nobody's expectation.
  const work = new Draws({ ...unit, plan: withoutRamp(unit.plan) }, { ...options, draws: DRAWS });
  return {
    kind: 'relay',
    profileId: unit.unit.id,
    seed: work.options.seed,
    draws: DRAWS,
    method: 'limits of the profile, published ranges of 12 V plug-in relays, and common workshop practice',
    nominalSupplyV: nominalInput(unit).supply.voltageV,
    band: work.finish(),
  };
}
