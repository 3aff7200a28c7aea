// Inrush, running current, symmetry, coil current and dropouts of each throw, against what the model gives a good unit.

import { type Quantity, quantityOf } from '../../measure/index.js';
import type { Check } from '../verdict.js';
import { throwId, throwWords } from '../words.js';
import {
  type CheckContext,
  expectedLimits,
  expectedOf,
  modelOrigin,
  numberCheck,
  quantityIn,
  segmentOf,
  whyMissing,
} from './context.js';
import { coilIsUsed, IDLE_COIL_A, magnitude } from './rest.js';

/** No limit is drawn tighter than this part of the nominal: two good units of one make differ so much (common practice). */
const LEAST_PART = 0.02;
/** A loss of samples longer than a brush takes to land again could hide a dropout (common practice, no source). */
const LONGEST_UNSEEN_S = 0.005;

/** Brush timing makes good motors differ so much between directions, small ones by the ampere (common practice, no source). */
const ASYMMETRY_PERCENT = 10;
const ASYMMETRY_A = 0.25;

export function currentChecks(context: CheckContext): Check[] {
  const checks: Check[] = [];
  for (const { name } of context.expectation.throws) {
    const words = throwWords(name);
    // Through the limited feed the current is the feed's, not the motor's: such a throw is there for its lead states.
    if (isStarved(context, name)) continue;
    checks.push(
      ...banded(context, `${name}InrushPeakA`, throwId('inrush', name), `${words}: inrush peaks at`, name),
    );
    checks.push(
      ...banded(context, `${name}RunningCurrentA`, throwId('running', name), `${words}: runs at`, name),
    );
    checks.push(
      ...banded(context, `${name}SettleS`, throwId('settling', name), `${words}: is up to speed after`, name),
    );
    if (coilIsUsed(context)) checks.push(...coilChecks(context, name, words));
    checks.push(...dropouts(context, name, words));
  }
  const symmetry = expectedOf(context, 'runningAsymmetryPercent');
  if (symmetry && drivesBothWays(context)) {
    const mean = meanRunning(context);
    const reach = Math.max(
      ASYMMETRY_PERCENT,
      mean > 0 ? (100 * ASYMMETRY_A) / mean : 0,
      Math.abs(symmetry.lower),
      Math.abs(symmetry.upper),
    );
    checks.push(
      numberCheck({
        id: 'symmetry',
        subject: 'Running current forward against reverse differs by',
        quantity: context.supplyHolds ? quantityIn(context, 'runningAsymmetryPercent') : undefined,
        lower: -reach,
        upper: reach,
        origin: modelOrigin(context),
        missing: 'not tested, both directions must run',
      }),
    );
  }
  return checks;
}

/** A circuit of one direction has nothing to compare. */
function drivesBothWays(context: CheckContext): boolean {
  const driven = context.expectation.throws
    .filter(({ name }) => !isStarved(context, name))
    .map(({ name }) => Math.sign(expectedOf(context, `${name}MotorVoltageV`)?.nominal ?? 0));
  return driven.includes(1) && driven.includes(-1);
}

function isStarved(context: CheckContext, name: string): boolean {
  const voltage = expectedOf(context, `${name}MotorVoltageV`);
  return voltage !== undefined && Math.abs(voltage.nominal) < context.expectation.nominalSupplyV / 2;
}

function meanRunning(context: CheckContext): number {
  const readings = context.expectation.throws
    .map(({ name }) => quantityIn(context, `${name}RunningCurrentA`)?.value)
    .filter((value): value is number => value !== undefined);
  return readings.reduce((sum, value) => sum + value, 0) / Math.max(1, readings.length);
}

function banded(context: CheckContext, feature: string, id: string, subject: string, name: string): Check[] {
  const limits = expectedLimits(context, feature);
  if (!limits) return [];
  const least = LEAST_PART * Math.abs(limits.nominal);
  return [
    numberCheck({
      id,
      subject,
      quantity: context.supplyHolds ? quantityIn(context, feature) : undefined,
      lower: Math.max(0, Math.min(limits.lower, limits.nominal - least)),
      upper: Math.max(limits.upper, limits.nominal + least),
      origin: modelOrigin(context),
      missing: whyMissing(context, name),
    }),
  ];
}

function coilChecks(context: CheckContext, name: string, words: string): Check[] {
  const feature = `${name}CoilCurrentA`;
  const id = throwId('coil-current', name);
  const subject = `${words}: the relay coil draws`;
  const nominal = expectedOf(context, feature)?.nominal;
  if (nominal === undefined || nominal > IDLE_COIL_A) return banded(context, feature, id, subject, name);
  // A throw that uses no coil has no spread to take limits from; it is held to what a resting coil may draw.
  const coil = quantityIn(context, feature);
  const missing = whyMissing(context, name);
  return [
    numberCheck({
      id,
      subject,
      quantity: coil && magnitude(coil),
      upper: IDLE_COIL_A,
      origin: 'generic',
      missing,
    }),
  ];
}

function dropouts(context: CheckContext, name: string, words: string): Check[] {
  if (!expectedOf(context, `${name}DropoutsMotorSide`)) return [];
  const motor = quantityIn(context, `${name}DropoutsMotorSide`);
  const harness = quantityIn(context, `${name}DropoutsHarnessSide`);
  const total: Quantity | undefined =
    motor && harness ? { ...quantityOf(motor.value + harness.value, '1', []) } : undefined;
  const id = throwId('dropouts', name);
  const lostS = segmentOf(context, name)?.lost.motorCurrentA ?? 0;
  if (total?.value === 0 && lostS > LONGEST_UNSEEN_S) {
    const sentence = `${words}: dropouts not tested, ${(lostS * 1000).toFixed(0)} ms of the current were lost.`;
    return [{ id, sentence, outcome: 'not-tested', required: true, origin: 'generic' }];
  }
  if (!total) {
    const faint = quantityIn(context, `${name}RunningCurrentA`) !== undefined;
    // A current within the noise cannot show a loss; nobody can ask it to, so the verdict does not wait for it.
    return [
      {
        id,
        sentence: `${words}: dropouts ${faint ? 'cannot be seen, the running current is within the noise' : whyMissing(context, name)}.`,
        outcome: 'not-tested',
        required: !faint,
        origin: 'generic',
      },
    ];
  }
  const side =
    motor!.value >= harness!.value
      ? 'the leads keep their voltage, so it is lost inside the motor: brushes'
      : 'a lead loses its voltage too, so it is lost in the harness';
  return [
    {
      id,
      sentence:
        total.value === 0
          ? `${words}: the current never drops out.`
          : `${words}: the current drops out ${total.value} time${total.value === 1 ? '' : 's'}; ${side}.`,
      value: total.value,
      unit: '1',
      expandedUncertainty: 0,
      upper: 0,
      outcome: total.value === 0 ? 'pass' : 'fail',
      required: true,
      origin: 'generic',
    },
  ];
}
