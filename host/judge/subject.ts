// What a run is asked depends on what is being judged: of a motor alone nothing of the rig's own wiring, of a harness
// nothing of the motor or load on its leads. Works on the checks of a whole unit.

import { atStart, quantityOf, scaledLines } from '../measure/index.js';
import { amount, fixed, reading, times } from '../tell/index.js';
import { checkOf, untested } from './check.js';
import { type CheckContext, expectedOf, seenOf } from './checks/context.js';
import { isDropouts } from './checks/currents.js';
import { outcomeOf } from './decision.js';
import type { Check, CheckKind } from './verdict.js';

/** `checks` as the unit's subject allows them to count. */
export function forSubject(context: CheckContext, checks: readonly Check[]): Check[] {
  switch (context.unit.unit.subject) {
    case 'motor':
      return ofMotorAlone(context, checks);
    case 'harness':
      return ofHarness(context, checks);
    default:
      return [...checks];
  }
}

const RIG_HINT =
  "That is the rig's own wiring, not the motor: look at the links, the stand-in and its fuse, then repeat.";

/** With no harness on the bench, what a check says of the harness is the doing of the rig's own links and contacts. */
function ofMotorAlone({ stop }: CheckContext, checks: readonly Check[]): Check[] {
  // A throw that ended in a short says nothing of the links: a dead short pulls every lead down.
  const tripped = stop === 'over-current';
  const isRigs = ({ of, kind, outcome }: Check): boolean =>
    outcome === 'fail' && of === 'harness' && (!tripped || kind.isAtRest === true);
  if (!checks.some(isRigs)) return [...checks];
  return checks.map((check) => {
    if (isRigs(check)) return untested(check, `${check.sentence} ${RIG_HINT}`);
    // Spoken of the motor, and true only when it got its voltage the way the rig should give it.
    const needsDrive = check.of === 'motor' || check.of === 'unit';
    return needsDrive && check.outcome !== 'not-tested'
      ? untested(check, `${check.sentence} It proves nothing before the rig is right.`)
      : check;
  });
}

const NOT_ASKED: CheckKind = { id: 'motor-not-asked', of: 'motor', rank: 180 };
const LOAD: CheckKind = { id: 'load', of: 'rig', rank: 180 };

function ofHarness(context: CheckContext, checks: readonly Check[]): Check[] {
  const onLoad = context.unit.load !== undefined;
  const what = onLoad ? "the load's plug" : 'the motor or its plug';
  const asked = checks
    .filter(({ kind }) => kind.of !== 'motor')
    // A loss with both leads at their voltage is in the load's plug or the motor: neither is judged here.
    .map((check) =>
      isDropouts(check) && check.of === 'motor' && check.throw
        ? untested(
            check,
            `${atStart(check.throw)}: the current drops out ${times(check.value ?? 0)} while the leads keep their voltage: it is lost in ${what}. Make that fast and repeat.`,
          )
        : check,
    );
  const notAsked = checkOf(NOT_ASKED, {
    sentence: onLoad
      ? 'A known load stands in for the motor: start, running current, coasting and braking are not asked.'
      : 'Only the harness is judged: start and running current of the motor are not asked.',
    outcome: 'not-tested',
    required: false,
  });
  return [...asked, ...loadChecks(context), notAsked];
}

/** Below this nothing is across the load that could show its resistance. */
const LEAST_LOAD_V = 2;
/** What plug and test leads may add to or the profile's figure leave open (common practice, no source). */
const LOAD_PART = 0.1;
/** A current within so many of its expanded uncertainties of zero is none. Choice of this program, no source. */
const CLEAR_OF_ZERO = 3;

/** The load is the measure of every drop: it must be the one that the profile names. Never the harness's fault. */
function loadChecks(context: CheckContext): Check[] {
  const { load } = context.unit;
  if (load === undefined) return [];
  const { resistanceOhm } = load;
  const [nominal, percent] =
    typeof resistanceOhm === 'number'
      ? [resistanceOhm, 0]
      : [resistanceOhm.nominal, resistanceOhm.tolerancePercent];
  const reach = nominal * (percent / 100 + LOAD_PART);
  const [lower, upper] = [nominal - reach, nominal + reach];
  return context.expectation.throws.flatMap(({ of }): Check[] => {
    const voltage = seenOf(context, 'motorVoltageV', of);
    const current = seenOf(context, 'motorCurrentA', of);
    const expected = expectedOf(context, 'motorVoltageV', of);
    if (!expected || Math.abs(expected.nominal) < LEAST_LOAD_V) return [];
    if (!voltage || !current || Math.abs(voltage.value) < LEAST_LOAD_V) return [];
    const flows = Math.abs(current.value) > CLEAR_OF_ZERO * current.expandedUncertainty;
    const read = voltage.value / current.value;
    const ohm = quantityOf(read, 'Ohm', [
      ...scaledLines(voltage, 1 / current.value),
      ...scaledLines(current, read / current.value),
    ]);
    const outcome = flows ? outcomeOf(ohm.value, ohm.expandedUncertainty, lower, upper) : 'fail';
    const isRight = outcome === 'pass' || outcome === 'conditional-pass';
    const told = flows
      ? `the load reads ${reading(ohm.value, ohm.expandedUncertainty, 'Ohm')}`
      : 'the load takes no current';
    const hint = isRight ? '' : ` Join ${load.title}, or name the load that hangs there in the profile.`;
    return [
      checkOf(LOAD, {
        throw: of,
        origin: load.origin,
        sentence: `${atStart(of)}: ${told} (expected ${fixed(lower, 2)} to ${amount(upper, 'Ohm', 2)}).${hint}`,
        ...(flows
          ? { value: ohm.value, unit: 'Ohm', expandedUncertainty: ohm.expandedUncertainty, lower, upper }
          : {}),
        outcome: isRight ? outcome : 'not-tested',
      }),
    ];
  });
}
