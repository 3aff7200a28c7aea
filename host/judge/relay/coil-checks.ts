// Checks of a relay's coil: its resistance, what lies across it, the armature's mark in its current.

import { type Quantity, type RelayMeasured, readingOf, type SuppressionSeen } from '../../measure/index.js';
import type { RelayProfile } from '../../profile/index.js';
import { amount, fixed, milli } from '../../tell/index.js';
import { checkOf, numberCheck } from '../check.js';
import type { Check, CheckKind } from '../verdict.js';
import { limited, type RelayContext } from './context.js';
import { relayLimits } from './limits.js';

/** A resistor across a coil may be off by its own tolerance and by age (common practice, no source). */
const SUPPRESSION_PART = 0.25;

const RESISTANCE: CheckKind = { id: 'coil-resistance', of: 'relay', rank: 45 };
/** Found before the supply came to it. */
const KEPT_OFF: CheckKind = { ...RESISTANCE, keepsFeedOff: true, isGross: true };
const SUPPRESSION: CheckKind = { id: 'suppression', of: 'relay', rank: 100 };
const DIP: CheckKind = { id: 'armature-dip', of: 'relay', rank: 180 };
/** Where no contact was read, it comes before all that was not tested: nothing else speaks of the armature. */
const NO_MARK: CheckKind = { ...DIP, rank: -5 };

export function coilChecks({ unit, relay, seen }: RelayContext): Check[] {
  return [resistanceCheck({ unit, relay, seen }), suppressionCheck(relay, seen.suppression), dipCheck(seen)];
}

function resistanceCheck({ unit, relay, seen }: Omit<RelayContext, 'stop'>): Check {
  const { measured, suppression } = seen;
  const { origin } = relay;
  const wasOn = readingOf(measured, 'coilCurrentA') !== undefined;
  const resistance = readingOf(measured, 'coilResistanceOhm');
  if (passesBy(seen)) {
    const marked = readingOf(measured, 'markedTestOhm');
    const sentence = `With plus on 86 the test current meets ${told(marked)} in place of the winding: a diode that conducts this way, a wrong terminal, or a short. ${wasOn ? '' : 'The full supply was not put on it. '}Exchange 85 and 86 and run again.`;
    return checkOf(wasOn ? RESISTANCE : KEPT_OFF, { outcome: 'fail', sentence, origin });
  }
  if (suppression.kind === 'open' || (wasOn && resistance === undefined)) {
    const sentence = 'The coil takes no current: open between 85 and 86.';
    return checkOf(RESISTANCE, { outcome: 'fail', sentence, origin });
  }
  const { nominal, plusMinus } = unit.unit.temperatureC;
  return numberCheck(RESISTANCE, {
    subject: 'Between 85 and 86 the coil has',
    named: 'Resistance of the coil',
    quantity: resistance,
    ...limited(relayLimits(unit, relay, undefined).coilOhm),
    missing: 'not measured, coil current or supply was not sampled',
    hint: `Limits hold for a coil of ${fixed(nominal - plusMinus, 0)} to ${amount(nominal + plusMinus, '°C', 0)}.`,
  });
}

function dipCheck({ measured }: Pick<RelayMeasured, 'measured'>): Check {
  const dip = readingOf(measured, 'dipS');
  const moves = readingOf(measured, 'armatureMoves');
  const operated = readingOf(measured, 'cyclesOperated');
  if (dip)
    return checkOf(DIP, {
      required: false,
      outcome: 'pass',
      sentence: `The armature moves: it marks the coil current ${milli(dip.value, 's', 1)} after switching on.`,
    });
  if (moves?.value !== 0)
    return checkOf(DIP, {
      required: false,
      outcome: 'not-tested',
      sentence: 'No mark of the armature in the coil current; its contacts tell whether it moves.',
    });
  // Where a contact turned over it did move: then the shape alone accuses nobody.
  const stands = operated !== undefined && operated.value === 0;
  return checkOf(operated === undefined ? NO_MARK : DIP, {
    required: operated === undefined,
    outcome: stands ? 'fail' : 'not-tested',
    sentence: `The coil current rises in one sweep, without the mark of an armature that moves${stands ? ': it is held, and no contact turned over' : '; its contacts tell whether it does'}.`,
  });
}

const told = (quantity: Quantity | undefined): string =>
  quantity ? amount(Math.max(0, quantity.value), 'Ohm', 0) : 'next to nothing';

/** Less is no winding (6 V relays have 15 to 30 Ohm; common practice). */
const LEAST_WINDING_OHM = 11;

/** The test current goes past the winding: the full supply must not follow it. */
export function passesBy({
  measured,
  suppression,
}: Pick<RelayMeasured, 'measured' | 'suppression'>): boolean {
  if (suppression.kind === 'shorted') return true;
  const marked = readingOf(measured, 'markedTestOhm');
  return marked !== undefined && marked.value < LEAST_WINDING_OHM;
}

const WORDS = {
  none: () => 'nothing',
  resistor: (ohm: number) => `a resistor of ${amount(ohm, 'Ohm', 0)}`,
  diode: (anodeAt: string) => `a diode with its anode on ${anodeAt}`,
};

function wordsOf(what: RelayProfile['suppression'] | SuppressionSeen): string {
  if (what.kind === 'resistor') return WORDS.resistor('ohm' in what ? what.ohm : what.resistanceOhm);
  if (what.kind === 'diode') return WORDS.diode(what.anodeAt);
  return WORDS.none();
}

function suppressionCheck({ suppression: wanted, origin }: RelayProfile, seen: SuppressionSeen): Check {
  const said = (outcome: Check['outcome'], sentence: string): Check =>
    checkOf(SUPPRESSION, { outcome, sentence, origin });
  if (seen.kind === 'unknown')
    return said('not-tested', `Suppression of the coil is not tested: ${seen.why}.`);
  if (seen.kind === 'open' || seen.kind === 'shorted')
    return said('not-tested', `Suppression is not tested: the coil is ${seen.kind}.`);
  const read =
    seen.kind === 'resistor'
      ? `a resistor of ${fixed(seen.ohm, 0)} ± ${amount(2 * seen.standardUncertainty, 'Ohm', 0)}`
      : wordsOf(seen);
  const base = `Across the coil lies ${read}`;
  if (seen.kind !== wanted.kind) {
    const slow = seen.kind === 'diode' ? ' A diode makes it let go slowly.' : '';
    return said('fail', `${base}; ${wordsOf(wanted)} belongs there.${slow}`);
  }
  if (seen.kind === 'resistor' && wanted.kind === 'resistor') {
    const off = Math.abs(seen.ohm - wanted.resistanceOhm);
    const reach = SUPPRESSION_PART * wanted.resistanceOhm + 2 * seen.standardUncertainty;
    return said(off <= reach ? 'pass' : 'fail', `${base}; ${wanted.resistanceOhm} Ω belongs there.`);
  }
  if (seen.kind === 'diode' && wanted.kind === 'diode' && seen.anodeAt !== wanted.anodeAt)
    return said('fail', `${base}; it belongs the other way round.`);
  return said('pass', `${base}, as it should be.`);
}
