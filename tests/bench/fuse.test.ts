// No fault of the dictionary blows the unit's own fuse: the limited feed finds the shorts before the full feed is on.
// All faults of all styles, and what the trip alone would save: npm run fuse.

import { describe, expect, it } from 'vitest';
import {
  CHARGING_V,
  type FuseRun,
  faultInputs,
  fuseRun,
  type Guard,
  meltingA2S,
  ratingFor,
  unitsOfAllStyles,
} from './fuse-proof.js';

const units = unitsOfAllStyles('entry-step');
const unitOf = (style: string) => units.find((unit) => unit.style.id === style)!;
/** The shorts of one style with relays and one with a switch, as well as what draws most without being one. */
const SAMPLE: [string, RegExp][] = [
  ['relay-pair-ground-thrown', /^lead-.*shorted|rotor-locked|dual-87|^k1-30-87|winding-a|gearbox-bound/],
  ['switch-carried-open-rest', /jumper|welded|shorted/],
];
const runsOf = (style: string, pattern: RegExp, guard: Guard): FuseRun[] =>
  faultInputs(unitOf(style))
    .filter(({ fault }) => pattern.test(fault))
    .map(({ fault, input }) => fuseRun(unitOf(style), fault, input, guard));

describe('a blade fuse of 15 A, at the quick edge of its gates', () => {
  it.each(SAMPLE)('stays whole in the faults of %s', (style, pattern) => {
    const ratedA = ratingFor(unitOf(style));
    expect(ratedA).toBe(15);
    const runs = runsOf(style, pattern, 'limited feed and trip');
    expect(runs.length).toBeGreaterThan(10);
    for (const run of runs) {
      expect(run.blown, run.fault).toBe(false);
      // A tenth, so that it does not age either (pulses of 22 % of the melting I2t are borne 100,000 times: Littelfuse,
      // fuse characteristics, pulse cycle withstand).
      expect(run.worstA2S, run.fault).toBeLessThan(0.1 * meltingA2S(ratedA));
    }
    expect(runs.filter(({ endedBy }) => endedBy === 'limited feed').length).toBeGreaterThan(5);
  });

  it('stays whole with a rotor that does not turn on a charging battery, which the trip alone would not save', () => {
    const unit = unitOf('motor-alone');
    const [locked] = faultInputs(unit, CHARGING_V).filter(({ fault }) => /rotor-locked/.test(fault));
    const guarded = fuseRun(unit, locked!.fault, locked!.input, 'limited feed and trip');
    expect(guarded.peakA).toBeGreaterThan(1.2 * 15);
    expect(guarded.blown).toBe(false);
    const tripOnly = fuseRun(unit, locked!.fault, locked!.input, 'trip');
    expect(tripOnly.blown).toBe(true);
  });

  it('would blow in a short without limited feed and trip', () => {
    const [unguarded] = runsOf('relay-pair-ground-thrown', /^lead-a-shorted-to-ground$/, 'none');
    expect(unguarded!.blown).toBe(true);
    expect(unguarded!.worstA2S).toBeGreaterThan(0.9 * meltingA2S(15));
    const [tripOnly] = runsOf('relay-pair-ground-thrown', /^lead-a-shorted-to-ground$/, 'trip');
    expect(tripOnly!.endedBy).toBe('trip');
    expect(tripOnly!.peakA).toBeGreaterThan(100);
    const [guarded] = runsOf(
      'relay-pair-ground-thrown',
      /^lead-a-shorted-to-ground$/,
      'limited feed and trip',
    );
    expect(guarded!.peakA).toBeLessThan(2);
  });
});
