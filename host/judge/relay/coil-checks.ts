// Checks of a relay's coil: its resistance, what lies across it, the armature's mark in its current.

import type { Quantity, RelayMeasured, SuppressionSeen } from '../../measure/index.js';
import type { RelayProfile } from '../../profile/index.js';
import { numberCheck } from '../checks/context.js';
import type { Check } from '../verdict.js';
import { limited, type RelayContext, said } from './context.js';
import { relayLimits } from './limits.js';

/** A resistor across a coil may be off by its own tolerance and by age (common practice, no source). */
const SUPPRESSION_PART = 0.25;

export function coilChecks({ unit, relay, seen }: RelayContext): Check[] {
  const { measured, suppression } = seen;
  const { coilOhm } = relayLimits(unit, relay, undefined);
  const { nominal, plusMinus } = unit.unit.temperatureC;
  const wasOn = measured.coilCurrentA !== undefined;
  const coil: Check = passesBy(seen)
    ? said(
        'coil-resistance',
        'fail',
        `With plus on 86 the test current meets ${told(measured.markedTestOhm)} in place of the winding: a diode that conducts this way, a wrong terminal, or a short. ${wasOn ? '' : 'The full supply was not put on it. '}Exchange 85 and 86 and run again.`,
        relay.origin,
      )
    : suppression.kind === 'open' || (wasOn && measured.coilResistanceOhm === undefined)
      ? said('coil-resistance', 'fail', 'The coil takes no current: open between 85 and 86.', relay.origin)
      : numberCheck({
          id: 'coil-resistance',
          subject: 'Between 85 and 86 the coil has',
          quantity: measured.coilResistanceOhm,
          ...limited(coilOhm),
          missing: 'not measured, coil current or supply was not sampled',
          hint: `Limits hold for a coil of ${(nominal - plusMinus).toFixed(0)} to ${(nominal + plusMinus).toFixed(0)} °C.`,
        });
  const dip = measured.dipS;
  return [
    coil,
    suppressionCheck(relay, suppression),
    dip
      ? said(
          'armature-dip',
          'pass',
          `The armature moves: it marks the coil current ${(1000 * dip.value).toFixed(1)} ms after switching on.`,
          'generic',
          false,
        )
      : said(
          'armature-dip',
          'not-tested',
          'No mark of the armature in the coil current; its contacts tell whether it moves.',
          'generic',
          false,
        ),
  ];
}

const told = (quantity: Quantity | undefined): string =>
  quantity ? `${Math.max(0, quantity.value).toFixed(0)} Ω` : 'next to nothing';

/** Less is no winding (6 V relays have 15 to 30 Ohm; common practice). */
const LEAST_WINDING_OHM = 11;

/** The test current goes past the winding: the full supply must not follow it. */
export function passesBy({
  measured,
  suppression,
}: Pick<RelayMeasured, 'measured' | 'suppression'>): boolean {
  if (suppression.kind === 'shorted') return true;
  const marked = measured.markedTestOhm;
  return marked !== undefined && marked.value < LEAST_WINDING_OHM;
}

const WORDS = {
  none: () => 'nothing',
  resistor: (ohm: number) => `a resistor of ${ohm.toFixed(0)} Ω`,
  diode: (anodeAt: string) => `a diode with its anode on ${anodeAt}`,
};

function wordsOf(what: RelayProfile['suppression'] | SuppressionSeen): string {
  if (what.kind === 'resistor') return WORDS.resistor('ohm' in what ? what.ohm : what.resistanceOhm);
  if (what.kind === 'diode') return WORDS.diode(what.anodeAt);
  return WORDS.none();
}

function suppressionCheck(relay: RelayProfile, seen: SuppressionSeen): Check {
  const wanted = relay.suppression;
  const id = 'suppression';
  if (seen.kind === 'unknown')
    return said(id, 'not-tested', `Suppression of the coil is not tested: ${seen.why}.`, relay.origin);
  if (seen.kind === 'open' || seen.kind === 'shorted')
    return said(id, 'not-tested', `Suppression is not tested: the coil is ${seen.kind}.`, relay.origin);
  const read =
    seen.kind === 'resistor'
      ? `a resistor of ${seen.ohm.toFixed(0)} ± ${(2 * seen.standardUncertainty).toFixed(0)} Ω`
      : wordsOf(seen);
  const base = `Across the coil lies ${read}`;
  if (seen.kind !== wanted.kind) {
    const slow = seen.kind === 'diode' ? ' A diode makes it let go slowly.' : '';
    return said(id, 'fail', `${base}; ${wordsOf(wanted)} belongs there.${slow}`, relay.origin);
  }
  if (seen.kind === 'resistor' && wanted.kind === 'resistor') {
    const off = Math.abs(seen.ohm - wanted.resistanceOhm);
    const reach = SUPPRESSION_PART * wanted.resistanceOhm + 2 * seen.standardUncertainty;
    const outcome = off <= reach ? 'pass' : 'fail';
    return said(id, outcome, `${base}; ${wanted.resistanceOhm} Ω belongs there.`, relay.origin);
  }
  if (seen.kind === 'diode' && wanted.kind === 'diode' && seen.anodeAt !== wanted.anodeAt)
    return said(id, 'fail', `${base}; it belongs the other way round.`, relay.origin);
  return said(id, 'pass', `${base}, as it should be.`, relay.origin);
}
