// What a run is asked depends on what is being judged: of a motor alone nothing of the rig's own wiring, of a harness
// nothing of the motor or load on its leads. Works on the checks of a whole unit.

import { type CheckContext, expectedOf, quantityIn } from './checks/context.js';
import { outcomeOf } from './decision.js';
import type { Check } from './verdict.js';
import { reading, throwWords } from './words.js';

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

/** With no harness on the bench these are the doing of the rig's own links and contacts. */
const RIGS_OWN = /^(?:rest-|polarity-|return-lead-|feed-drop-|ground-drop-)/;
/** Spoken of the motor, and true only when it got its voltage the way the rig should give it. */
const NEEDS_DRIVE =
  /^(?:over-current-stop|limited-feed-short|inrush-|running-|settling-|envelope-|ripple-|limit-stop-|symmetry|motor-|release-|dropouts-)/;
const RIG_HINT =
  "That is the rig's own wiring, not the motor: look at the links, the stand-in and its fuse, then repeat.";

function ofMotorAlone(context: CheckContext, checks: readonly Check[]): Check[] {
  // A throw that ended in a short says nothing of the links: a dead short pulls every lead down.
  const tripped = context.stop === 'over-current';
  const isRigs = (check: Check): boolean =>
    check.outcome === 'fail' &&
    (!tripped || check.id.startsWith('rest-')) &&
    (RIGS_OWN.test(check.id) || isRigsRelease(context, check) || isRigsDropout(context, check));
  const rigIsOut = checks.some(isRigs);
  return checks.map((check) => {
    if (isRigs(check)) return { ...check, outcome: 'not-tested', sentence: `${check.sentence} ${RIG_HINT}` };
    const proves = check.outcome !== 'not-tested' && rigIsOut && NEEDS_DRIVE.test(check.id);
    return proves
      ? {
          ...check,
          outcome: 'not-tested',
          sentence: `${check.sentence} It proves nothing before the rig is right.`,
        }
      : check;
  });
}

/** A motor that shows neither back-EMF nor brake is at fault itself; any other wrong release is made by the rig's contacts. */
function isRigsRelease(context: CheckContext, check: Check): boolean {
  const name = throwOf(check, 'release');
  return (
    name !== undefined && context.seen.segments.find((segment) => segment.name === name)?.release !== 'still'
  );
}

function isRigsDropout(context: CheckContext, check: Check): boolean {
  const name = throwOf(check, 'dropouts');
  if (name === undefined) return false;
  const harness = quantityIn(context, `${name}DropoutsHarnessSide`)?.value ?? 0;
  return harness > (quantityIn(context, `${name}DropoutsMotorSide`)?.value ?? 0);
}

/** Of whatever hangs on the leads, not of the harness. */
const OF_THE_MOTOR = /^(?:inrush-|running-|settling-|envelope-|ripple-|symmetry|motor-)/;

function ofHarness(context: CheckContext, checks: readonly Check[]): Check[] {
  const onLoad = context.unit.load !== undefined;
  const asked = checks.filter(({ id }) => !OF_THE_MOTOR.test(id));
  const told = asked.flatMap((check): Check[] => {
    const name = throwOf(check, 'dropouts');
    if (name !== undefined) return [harnessDropouts(context, check, name)];
    const released = throwOf(check, 'release');
    return released === undefined || !onLoad
      ? [withMilliohms(context, check)]
      : loadRelease(context, check, released);
  });
  return [...told, ...(onLoad ? loadChecks(context) : []), notAsked(onLoad)];
}

const notAsked = (onLoad: boolean): Check => ({
  id: 'motor-not-asked',
  sentence: onLoad
    ? 'A known load stands in for the motor: start, running current, coasting and braking are not asked.'
    : 'Only the harness is judged: start and running current of the motor are not asked.',
  outcome: 'not-tested',
  required: false,
  origin: 'generic',
});

/** A loss with both leads at their voltage is in the load's plug or the motor: neither is judged here. */
function harnessDropouts(context: CheckContext, check: Check, name: string): Check {
  if (check.outcome !== 'fail') return check;
  const harness = quantityIn(context, `${name}DropoutsHarnessSide`)?.value ?? 0;
  const motor = quantityIn(context, `${name}DropoutsMotorSide`)?.value ?? 0;
  const what = context.unit.load === undefined ? 'the motor or its plug' : "the load's plug";
  if (harness >= motor) return check;
  return {
    ...check,
    outcome: 'not-tested',
    sentence: `${throwWords(name)}: the current drops out ${motor} time${motor === 1 ? '' : 's'} while the leads keep their voltage: it is lost in ${what}. Make that fast and repeat.`,
  };
}

/** Drops in the units that an electrician writes down: millivolts, and milliohms at the current that flowed. */
function withMilliohms(context: CheckContext, check: Check): Check {
  const side = /^(feed|ground)-drop-/.exec(check.id)?.[1];
  const name = throwOf(check, `${side}-drop`);
  if (name === undefined || check.value === undefined) return check;
  const sentence = check.sentence.replace(
    /(-?\d+\.\d+)( ±? ?)?(\d+\.\d+)? V/g,
    (_, value: string, joint = '', u?: string) =>
      `${milli(value)}${u === undefined ? '' : `${joint}${milli(u)}`} mV`,
  );
  const key = side === 'feed' ? 'Feed' : 'Ground';
  const resistance = quantityIn(context, `${name}${key}ResistanceOhm`);
  const current = quantityIn(context, `${name}RunningCurrentA`);
  if (!resistance || !current || sentence.includes('mΩ')) return { ...check, sentence };
  const ohms = reading(resistance.value, resistance.expandedUncertainty, 'Ohm');
  return { ...check, sentence: `${sentence} That is ${ohms} at ${current.value.toFixed(1)} A.` };
}

/** `0.42` volts as `420`: no digit more than was told. */
const milli = (volts: string): string => (Number(volts) * 1000).toFixed(0);

/** Without back-EMF only one thing shows: a lead that goes on being fed. */
function loadRelease(context: CheckContext, check: Check, name: string): Check[] {
  const release = context.seen.segments.find((segment) => segment.name === name)?.release;
  if (release === undefined) return [];
  const words = throwWords(name);
  const driven = release === 'driven';
  return [
    {
      id: check.id,
      sentence: driven
        ? `${words}: released, the load goes on being fed.`
        : `${words}: released, the load is dead at once.`,
      outcome: driven ? 'fail' : 'pass',
      required: true,
      origin: 'generic',
    },
  ];
}

/** Below this nothing is across the load that could show its resistance. */
const LEAST_LOAD_V = 2;
/** What plug and test leads may add to or the profile's figure leave open (common practice, no source). */
const LOAD_PART = 0.1;

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
  return context.expectation.throws.flatMap(({ name }): Check[] => {
    const voltage = quantityIn(context, `${name}MotorVoltageV`);
    const current = quantityIn(context, `${name}MotorCurrentA`);
    const expected = expectedOf(context, `${name}MotorVoltageV`);
    if (!expected || Math.abs(expected.nominal) < LEAST_LOAD_V) return [];
    if (!voltage || !current || Math.abs(voltage.value) < LEAST_LOAD_V) return [];
    const words = throwWords(name);
    const base = { id: `load-${name.replace(/(\d+)$/, '-$1')}`, required: true, origin: load.origin };
    const flows = Math.abs(current.value) > 3 * current.expandedUncertainty;
    const value = voltage.value / current.value;
    const u =
      Math.abs(value) *
      Math.hypot(voltage.standardUncertainty / voltage.value, current.standardUncertainty / current.value);
    const range = `${(nominal - reach).toFixed(2)} to ${(nominal + reach).toFixed(2)} Ω`;
    const outcome = flows ? outcomeOf(value, 2 * u, nominal - reach, nominal + reach) : 'fail';
    const isRight = outcome === 'pass' || outcome === 'conditional-pass';
    const read = flows
      ? `the load reads ${value.toFixed(2)} ± ${(2 * u).toFixed(2)} Ω`
      : 'the load takes no current';
    const hint = isRight ? '' : ` Join ${load.title}, or name the load that hangs there in the profile.`;
    return [
      {
        ...base,
        sentence: `${words}: ${read} (expected ${range}).${hint}`,
        ...(flows
          ? { value, unit: 'Ohm', expandedUncertainty: 2 * u, lower: nominal - reach, upper: nominal + reach }
          : {}),
        outcome: isRight ? outcome : 'not-tested',
      },
    ];
  });
}

/** Name of the throw that a check of this kind is about: `release-forward-2` is about `forward2`. */
function throwOf(check: Check, kind: string): string | undefined {
  const [, way, nth = ''] =
    new RegExp(`^${kind}-((?:limited-)?(?:forward|reverse))(?:-(\\d+))?$`).exec(check.id) ?? [];
  return way === undefined ? undefined : `${way}${nth}`;
}
