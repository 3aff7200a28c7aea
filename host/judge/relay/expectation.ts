// What a good relay's run looks like, for drawing behind the traces. Its limits come from profile and published ranges
// (limits.ts), not from draws.

import { drawInput, nominalInput, seededRandom, simulatePlan } from '../../circuit/index.js';
import { type ResolvedUnit, withoutRamp } from '../../profile/index.js';
import { bandOf, startBand, widenBand } from '../band.js';
import type { Expectation, ExpectationOptions } from '../expectation.js';

const SEED = 20200901;
/** For the eye only. */
const DRAWS = 6;
const SAMPLE_RATE_HZ = 2500;
const SOLVER = { relativeTolerance: 4e-3 };

export function relayExpectation(unit: ResolvedUnit, options: ExpectationOptions = {}): Expectation {
  const seed = options.seed ?? SEED;
  const random = seededRandom(seed);
  const nominal = nominalInput(unit);
  // How a person turns the supply is nobody's expectation.
  const plan = withoutRamp(unit.plan);
  const run = (input: typeof nominal) =>
    simulatePlan(input, plan, { sampleRateHz: SAMPLE_RATE_HZ, solver: SOLVER });
  const first = run(nominal);
  const band = startBand(first);
  widenBand(band, first);
  for (let n = 0; n < DRAWS; n++) widenBand(band, run(drawInput(unit, random)));
  return {
    profileId: unit.unit.id,
    seed,
    draws: DRAWS,
    method: 'limits of the profile, published ranges of 12 V plug-in relays, and common workshop practice',
    nominalSupplyV: nominal.supply.voltageV,
    features: {},
    throws: [],
    band: bandOf(band),
  };
}
