// While a throw is held: the right polarity, the right lead returning; the drops on the way there and back beside them.

import { atStart, type Quantity, type RunStretch } from '../../measure/index.js';
import { numberCheck } from '../check.js';
import type { Check, CheckKind } from '../verdict.js';
import { type CheckContext, expectedLimits, seenOf, whyMissing } from './context.js';
import { dropChecks } from './drops.js';

/** Below half of what the model gives, the motor is not being driven that way at all. */
const DRIVEN_PART = 0.5;
/** Workshop terminal tables call a lead dead at 1.0 V or less; so is a motor between two such leads. */
const IDLE_MOTOR_V = 1.0;
/** Of the supply: a lead above it stands at the feed, a motor between whose leads half of it stands is driven. Choices of this program, no source. */
const AT_FEED_PART = 0.8;
/** A feed that gives more while both leads stand at ground is drained by something else. Choice of this program, no source. */
const DRAINED_A = 0.5;

const POLARITY: CheckKind = {
  ...{ id: 'polarity', of: 'harness', rank: 70 },
  ...{ isOfWay: true, isOfDrive: true, isGross: true },
};
const RETURN: CheckKind = { id: 'return-lead', of: 'harness', rank: 80, isOfWay: true, isGross: true };
/** Told by what a hand may have done, where one threw the switch. */
export const isPolarity = ({ kind }: Check): boolean => kind.id === POLARITY.id;

export function driveChecks(context: CheckContext): Check[] {
  return context.expectation.throws.flatMap(({ of }) => [
    ...polarity(context, of),
    ...dropChecks(context, of),
  ]);
}

function polarity(context: CheckContext, of: RunStretch): Check[] {
  const expected = expectedLimits(context, 'motorVoltageV', of);
  if (!expected) return [];
  const words = atStart(of);
  const voltage = seenOf(context, 'motorVoltageV', of);
  const base = { throw: of, origin: 'model', missing: whyMissing(context, of) } as const;
  if (Math.abs(expected.nominal) < IDLE_MOTOR_V) {
    return [
      numberCheck(POLARITY, {
        ...base,
        subject: `${words}: this circuit drives nothing that way; motor voltage`,
        quantity: voltage,
        lower: -IDLE_MOTOR_V,
        upper: IDLE_MOTOR_V,
      }),
    ];
  }
  const positive = expected.nominal > 0;
  const bound = DRIVEN_PART * expected.nominal;
  const [lead, channel] = positive ? (['B', 'leadBVoltageV'] as const) : (['A', 'leadAVoltageV'] as const);
  return [
    numberCheck(POLARITY, {
      ...base,
      subject: `${words}: motor voltage, lead A against lead B,`,
      named: `${words}: motor voltage`,
      quantity: voltage,
      ...(positive ? { lower: bound } : { upper: bound }),
      hint: voltage && polarityHint(context, of, voltage, positive),
    }),
    numberCheck(RETURN, {
      ...base,
      subject: `${words}: lead ${lead} carries the return and stands at`,
      named: `${words}: return on lead ${lead}`,
      quantity: seenOf(context, channel, of),
      upper: supplyOf(context, of) / 2,
      hint: `Lead ${lead} should be the one joined to ground.`,
    }),
  ];
}

const supplyOf = (context: CheckContext, of: RunStretch): number =>
  seenOf(context, 'supplyVoltageV', of)?.value ?? context.expectation.nominalSupplyV;

/** The master key of lead states: what both leads at one rail, or the wrong one high, means. */
function polarityHint(context: CheckContext, of: RunStretch, voltage: Quantity, positive: boolean): string {
  const a = seenOf(context, 'leadAVoltageV', of)?.value;
  const b = seenOf(context, 'leadBVoltageV', of)?.value;
  const supply = supplyOf(context, of);
  if (Math.abs(voltage.value) > DRIVEN_PART * supply && voltage.value > 0 !== positive)
    return 'It is driven the other way round.';
  if (a === undefined || b === undefined) return '';
  if (Math.min(a, b) > AT_FEED_PART * supply)
    return 'Both leads stand at the feed: the return path is open, or both sides are joined to the feed.';
  const feed = seenOf(context, 'feedCurrentA', of)?.value ?? 0;
  if (Math.max(a, b) >= IDLE_MOTOR_V) return 'The motor does not get its voltage.';
  return feed > DRAINED_A
    ? 'Both leads stand at ground while the feed is drained: a short.'
    : 'Both leads stand at ground: nothing feeds this throw.';
}
