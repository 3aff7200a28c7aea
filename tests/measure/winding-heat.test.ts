// A held winding against its protector, in closed form. Copper: alpha 0.00393 a kelvin (IEC 60028), heated by V^2/R at
// constant voltage, adiabatic: with r = R/R0, dr/dt = k/r, so r^2 = 1 + 2 k t. A thermistor: a few hundredths of an ohm that
// climb a thousandfold in a second or two once it trips (a data sheet's shape; sizes are common practice, no source).

import { describe, expect, it } from 'vitest';
import { WindingHeat } from '../../host/measure/index.js';
import { seeded } from './closed-form.js';

const SEED = 77;
const VOLTS = 12.6;
const COLD_OHM = 0.72;

/** Resistance over time from the contact on, sampled at 500 Hz with half an ampere of ripple and noise. */
function heated(resistanceAt: (t: number) => number, untilS = 60): WindingHeat {
  const { normal } = seeded(SEED);
  const heat = new WindingHeat();
  for (let t = 0; t < untilS; t += 0.002)
    heat.add(3 + t, VOLTS + 0.02 * normal(), Math.abs(VOLTS / resistanceAt(t) + 0.3 * normal()));
  return heat;
}
const copper = (perS: number) => (t: number) => COLD_OHM * Math.sqrt(1 + 2 * perS * t);
/** When it has risen by 30 %: 1.69 = 1 + 2 k t. */
const hotAfterS = (perS: number): number => 0.69 / (2 * perS);
const thermistor = (tripS: number) => (t: number) =>
  t < tripS ? 0.03 : Math.min(60, 0.03 * 10 ** ((t - tripS) * 2));

describe(`a winding that is held, noise of seed ${SEED}`, () => {
  it.each([0.006, 0.02, 0.06])(
    'counts as hot once its resistance has risen by 30 per cent: %s of it a second',
    (perS) => {
      // Its own resistance at the start is a mean over its first half second.
      const within = 0.6 + 0.06 * hotAfterS(perS);
      expect(Math.abs(heated(copper(perS)).hotAfterS! - hotAfterS(perS))).toBeLessThan(within);
    },
  );

  it('never counts as hot while it stands', () => {
    expect(heated(() => COLD_OHM).hotAfterS).toBeUndefined();
    expect(heated(copper(0.003)).hotAfterS).toBeUndefined();
  });

  it.each([5, 12, 30])(
    'is told from a thermistor that collapses after %d s, its copper warming meanwhile',
    (tripS) => {
      const both = (t: number): number => copper(0.008)(t) + thermistor(tripS)(t);
      expect(heated(both).hotAfterS).toBeUndefined();
    },
  );

  it('counts as hot all the same when what climbs never opens the circuit', () => {
    const stuck = (t: number): number => COLD_OHM + (t < 10 ? 0 : 0.5);
    expect(heated(stuck).hotAfterS).toBeGreaterThan(10);
    expect(heated(stuck).hotAfterS).toBeLessThan(20);
  });
});
