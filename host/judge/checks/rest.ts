// At rest, before the first throw: both leads where the style holds them, and no current anywhere.

import type { Quantity } from '../../measure/index.js';
import type { Check } from '../verdict.js';
import { type CheckContext, expectedOf, numberCheck, quantityIn } from './context.js';

/** Workshop terminal tables call a released lead dead at 1.0 V or less (window and sunroof motors). */
const LEAD_WITHIN_V = 1.0;
/** A resting circuit draws nothing; the least that a wet or backfed one was seen to draw is above this (common practice). */
const REST_CURRENT_A = 0.2;
/** A coil that is not switched on draws nothing; pull-in takes ten times this (coils of 75 to 300 Ohm at 12 V). */
export const IDLE_COIL_A = 0.01;

export function restChecks(context: CheckContext): Check[] {
  const checks: Check[] = [];
  const state = restState(context);
  for (const [lead, feature] of [
    ['a', 'restLeadAVoltageV'],
    ['b', 'restLeadBVoltageV'],
  ] as const) {
    const expected = expectedOf(context, feature);
    if (!expected) continue;
    // A lead held high follows the supply that this run had.
    const supply = quantityIn(context, 'restSupplyVoltageV');
    const high = expected.nominal > context.expectation.nominalSupplyV / 2;
    const nominal =
      high && supply
        ? (expected.nominal * supply.value) / context.expectation.nominalSupplyV
        : expected.nominal;
    checks.push(
      numberCheck({
        id: `rest-lead-${lead}`,
        subject: `At rest lead ${lead.toUpperCase()} stands at`,
        quantity: quantityIn(context, feature),
        lower: nominal - LEAD_WITHIN_V,
        upper: nominal + LEAD_WITHIN_V,
        origin: 'published',
        missing: 'not measured, there is no rest stretch or the lead was not sampled',
        hint: `This style rests ${state}.`,
      }),
    );
  }
  const motor = quantityIn(context, 'restMotorCurrentA');
  const feed = quantityIn(context, 'restFeedCurrentA');
  const worst =
    motor && feed ? (Math.abs(motor.value) >= Math.abs(feed.value) ? motor : feed) : (motor ?? feed);
  checks.push(
    numberCheck({
      id: 'rest-current',
      subject: 'With nothing thrown the circuit draws',
      quantity: worst && magnitude(worst),
      upper: REST_CURRENT_A,
      origin: 'generic',
      missing: 'not measured, no current channel at rest',
      hint: 'It must draw nothing at rest.',
    }),
  );
  if (expectedOf(context, 'restCoilCurrentA') && coilIsUsed(context)) {
    const coil = quantityIn(context, 'restCoilCurrentA');
    checks.push(
      numberCheck({
        id: 'rest-coil-current',
        subject: 'With nothing thrown the relay coils draw',
        quantity: coil && magnitude(coil),
        upper: IDLE_COIL_A,
        origin: 'generic',
        missing: 'not measured, the coil feed was not sampled',
      }),
    );
  }
  return checks;
}

/** Whether any throw of a good unit draws coil current. */
export function coilIsUsed(context: CheckContext): boolean {
  return context.expectation.throws.some(
    ({ name }) => (expectedOf(context, `${name}CoilCurrentA`)?.nominal ?? 0) > IDLE_COIL_A,
  );
}

function restState(context: CheckContext): string {
  const a = expectedOf(context, 'restLeadAVoltageV')?.nominal ?? 0;
  const half = context.expectation.nominalSupplyV / 2;
  if (a > half) return 'with both leads at the feed';
  const coasts = context.expectation.throws.some(({ release }) => release === 'coast');
  return coasts ? 'with both leads open' : 'with both leads on ground';
}

export const magnitude = (quantity: Quantity): Quantity => ({ ...quantity, value: Math.abs(quantity.value) });
