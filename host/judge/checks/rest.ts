// At rest, before the first throw: both leads where the style holds them, and no current anywhere.

import { type Quantity, REST, UNSEEN_SUPPLY } from '../../measure/index.js';
import { numberCheck } from '../check.js';
import type { Check, CheckKind } from '../verdict.js';
import { type CheckContext, expectedOf, isUnseenSupply, seenOf } from './context.js';

/** Workshop terminal tables call a released lead dead at 1.0 V or less (window and sunroof motors). */
const LEAD_WITHIN_V = 1.0;
/** A resting circuit draws nothing; the least that a wet or backfed one was seen to draw is above this (common practice). */
const REST_CURRENT_A = 0.2;
/** A coil that is not switched on draws nothing; pull-in takes ten times this (coils of 75 to 300 Ohm at 12 V). */
export const IDLE_COIL_A = 0.01;

const LEAD_A: CheckKind = { id: 'rest-lead-a', of: 'harness', rank: 60, isAtRest: true, isGross: true };
const LEAD_B: CheckKind = { ...LEAD_A, id: 'rest-lead-b' };
const CURRENT: CheckKind = {
  ...{ id: 'rest-current', of: 'harness', rank: 50, isAtRest: true },
  reads: ['motorCurrentA', 'feedCurrentA'],
};
export const isRestCurrent = ({ kind }: Check): boolean => kind.id === CURRENT.id;
const COIL: CheckKind = {
  ...{ id: 'rest-coil-current', of: 'harness', rank: 60, isAtRest: true },
  reads: ['coilCurrentA'],
};

export function restChecks(context: CheckContext): Check[] {
  const checks: Check[] = [];
  const state = restState(context);
  const { nominalSupplyV } = context.expectation;
  for (const [kind, lead, channel] of [
    [LEAD_A, 'A', 'leadAVoltageV'],
    [LEAD_B, 'B', 'leadBVoltageV'],
  ] as const) {
    const expected = expectedOf(context, channel, REST);
    if (!expected) continue;
    // A lead held high follows the supply that this run had.
    const supply = seenOf(context, 'supplyVoltageV', REST);
    const high = expected.nominal > nominalSupplyV / 2;
    // Where nobody read that, any that a bench may have will do.
    const [least, most] = !high
      ? [1, 1]
      : supply
        ? [supply.value / nominalSupplyV, supply.value / nominalSupplyV]
        : isUnseenSupply(context)
          ? [UNSEEN_SUPPLY.least, UNSEEN_SUPPLY.most]
          : [1, 1];
    checks.push(
      numberCheck(kind, {
        subject: `At rest lead ${lead} stands at`,
        named: `Lead ${lead} at rest`,
        quantity: seenOf(context, channel, REST),
        lower: least * expected.nominal - LEAD_WITHIN_V,
        upper: most * expected.nominal + LEAD_WITHIN_V,
        origin: 'published',
        missing: context.seen.notSampled.includes(channel)
          ? `not measured, lead ${lead} was not sampled`
          : 'not measured, there is no rest before the first throw',
        hint: `This style rests ${state}.`,
      }),
    );
  }
  const motor = seenOf(context, 'motorCurrentA', REST);
  const feed = seenOf(context, 'feedCurrentA', REST);
  const worst =
    motor && feed ? (Math.abs(motor.value) >= Math.abs(feed.value) ? motor : feed) : (motor ?? feed);
  const hasCurrent = (['motorCurrentA', 'feedCurrentA'] as const).some(
    (channel) => !context.seen.notSampled.includes(channel),
  );
  checks.push(
    numberCheck(CURRENT, {
      subject: 'With nothing thrown the circuit draws',
      named: 'Current at rest',
      quantity: worst && magnitude(worst),
      upper: REST_CURRENT_A,
      origin: 'generic',
      missing: hasCurrent
        ? 'not measured, there is no rest before the first throw'
        : 'not measured, no current was sampled',
      hint: 'It must draw nothing at rest.',
    }),
  );
  if (expectedOf(context, 'coilCurrentA', REST) && coilIsUsed(context)) {
    const coil = seenOf(context, 'coilCurrentA', REST);
    checks.push(
      numberCheck(COIL, {
        subject: 'With nothing thrown the relay coils draw',
        named: 'Coil current at rest',
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
    ({ of }) => (expectedOf(context, 'coilCurrentA', of)?.nominal ?? 0) > IDLE_COIL_A,
  );
}

function restState(context: CheckContext): string {
  const { nominalSupplyV, throws } = context.expectation;
  const a = expectedOf(context, 'leadAVoltageV', REST)?.nominal ?? 0;
  if (a > nominalSupplyV / 2) return 'with both leads at the feed';
  const coasts = throws.some(({ release }) => release === 'coast');
  return coasts ? 'with both leads open' : 'with both leads on ground';
}

export const magnitude = (quantity: Quantity): Quantity => ({ ...quantity, value: Math.abs(quantity.value) });
