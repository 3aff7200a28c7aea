// The drops on the way to the motor and back, judged where they are known best: in ohms at the start, where most current
// flows, or in volts while the motor runs.

import { atStart, type Quantity, type RunStretch } from '../../measure/index.js';
import { amount, milli, reading } from '../../tell/index.js';
import { closeWords, numberCheck, untested } from '../check.js';
import { outcomeOf } from '../decision.js';
import type { Check, DropInOhms } from '../verdict.js';
import { type CheckContext, expectedOf, seenOf, whyMissing } from './context.js';

/**
 * What joints may add to the model's clean wiring before anyone calls the drop bad. Voltage-drop texts allow 0.1 V in a
 * ground, 0.2 V in a wire and 0.3 V in a switch, under load; between them for the whole path, common practice. The load
 * is the running motor: at the start the same ohms drop more, and are held against the same ohms.
 */
const DROPS = [
  {
    kind: { id: 'feed-drop', of: 'harness', rank: 120 },
    drop: 'feedDropV',
    ohm: 'feedResistanceOhm',
    ohmAtStart: 'feedResistanceAtStartOhm',
    allowanceV: 0.25,
    words: 'from the supply to the driven lead drops',
    named: 'drop from the supply to the driven lead',
  },
  {
    kind: { id: 'ground-drop', of: 'harness', rank: 110 },
    drop: 'groundDropV',
    ohm: 'groundResistanceOhm',
    ohmAtStart: 'groundResistanceAtStartOhm',
    allowanceV: 0.15,
    words: 'from the return lead to ground drops',
    named: 'drop from the return lead to ground',
  },
] as const;

export function dropChecks(context: CheckContext, of: RunStretch): Check[] {
  const current = seenOf(context, 'runningCurrentA', of);
  // With nothing but the harness on the bench, drops are told in the units that an electrician writes down.
  const isHarness = context.unit.unit.subject === 'harness';
  return DROPS.flatMap(({ kind, drop, ohm, ohmAtStart, allowanceV, words, named }) => {
    const expected = expectedOf(context, ohm, of);
    if (!expected) return [];
    const upper = (current ? expected.upper * current.value : 0) + allowanceV;
    const running = seenOf(context, ohm, of);
    const inOhms =
      running && current && !current.isAtEnd ? ohmsOf(running, upper / current.value, current) : undefined;
    const told =
      inOhms &&
      `That is ${isHarness ? reading(inOhms.valueOhm, inOhms.expandedUncertaintyOhm, 'Ohm') : milli(inOhms.valueOhm, 'Ohm')} at ${amount(inOhms.atCurrentA, 'A', 1)} (at most ${milli(inOhms.upperOhm, 'Ohm')}).`;
    const check = numberCheck(kind, {
      throw: of,
      subject: `${atStart(of)}: ${words}`,
      named: `${atStart(of)}: ${named}`,
      quantity: current && context.supplyHolds ? seenOf(context, drop, of) : undefined,
      upper,
      origin: 'generic',
      missing: current ? whyMissing(context, of) : 'not tested, no current to load it',
      hint: told,
      asMilli: isHarness,
    });
    if (check.value === undefined) return check;
    // More may flow than the channel reads, and the limit grows with it: what passes passes, nothing fails.
    if (current?.isAtEnd) return check.outcome === 'pass' ? check : untested(check);
    const isTold = check.outcome === 'fail' || check.outcome === 'conditional-fail';
    const inBoth = {
      ...check,
      ...(isHarness && told && !isTold ? { sentence: `${check.sentence} ${told}` } : {}),
      ...(inOhms ? { inOhms } : {}),
    };
    const load = seenOf(context, 'startLoadA', of);
    const atStartOhm = seenOf(context, ohmAtStart, of);
    if (!inOhms || !running || !load || !atStartOhm) return inBoth;
    return judgedAtStart(inBoth, running, atStartOhm, ohmsOf(atStartOhm, inOhms.upperOhm, load));
  });
}

const ohmsOf = (ohm: Quantity, upperOhm: number, { value }: Quantity): DropInOhms => ({
  valueOhm: ohm.value,
  expandedUncertaintyOhm: ohm.expandedUncertainty,
  upperOhm,
  atCurrentA: value,
});

/**
 * A drop is judged where its ± in ohms is smallest. What is clear under the running motor stays so while the start lies
 * on the same side of the limit, and is left open where it lies on the other. Where the two differ by more than their ±
 * it is no plain resistance, or one of them was disturbed: then it stays as it was judged under the running motor.
 */
function judgedAtStart(check: Check, running: Quantity, start: Quantity, inOhmsAtStart: DropInOhms): Check {
  const told = { ...check, inOhmsAtStart };
  if (!(start.expandedUncertainty < running.expandedUncertainty)) return told;
  const apart = Math.abs(start.value - running.value);
  if (apart > Math.hypot(start.expandedUncertainty, running.expandedUncertainty)) return told;
  const { upperOhm, atCurrentA } = inOhmsAtStart;
  const atStart = outcomeOf(start.value, start.expandedUncertainty, undefined, upperOhm);
  const outcome = isClear(check)
    ? isInside(check) === start.value <= upperOhm
      ? check.outcome
      : OPEN
    : atStart;
  if (outcome === 'pass' && check.outcome === 'pass') return told;
  const ohms = reading(start.value, start.expandedUncertainty, 'Ohm');
  const sentence = `${check.sentence} At the start, ${amount(atCurrentA, 'A', 1)}, it is ${ohms} (at most ${milli(upperOhm, 'Ohm')}${closeWords(outcome)}).`;
  return { ...told, outcome, sentence };
}

const OPEN = 'conditional-fail';
const isClear = ({ outcome }: Check): boolean => outcome === 'pass' || outcome === 'fail';
const isInside = ({ outcome }: Check): boolean => outcome === 'pass';
