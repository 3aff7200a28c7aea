// While a throw is held: the right polarity, the right lead returning, the drops on the way there and back.

import type { Quantity } from '../../measure/index.js';
import type { Check } from '../verdict.js';
import { throwId, throwWords } from '../words.js';
import {
  type CheckContext,
  expectedLimits,
  expectedOf,
  numberCheck,
  quantityIn,
  whyMissing,
} from './context.js';

/** Below half of what the model gives, the motor is not being driven that way at all. */
const DRIVEN_PART = 0.5;
/** Workshop terminal tables call a lead dead at 1.0 V or less; so is a motor between two such leads. */
const IDLE_MOTOR_V = 1.0;
/**
 * What joints may add to the model's clean wiring before anyone calls the drop bad. Voltage-drop texts allow 0.1 V in a
 * ground, 0.2 V in a wire and 0.3 V in a switch, under load; between them for the whole path, common practice.
 */
const DROP_ALLOWANCE_V = { ground: 0.15, feed: 0.25 };

export function driveChecks(context: CheckContext): Check[] {
  return context.expectation.throws.flatMap(({ name }) => [
    ...polarity(context, name),
    ...drops(context, name),
  ]);
}

function polarity(context: CheckContext, name: string): Check[] {
  const expected = expectedLimits(context, `${name}MotorVoltageV`);
  if (!expected) return [];
  const words = throwWords(name);
  const voltage = quantityIn(context, `${name}MotorVoltageV`);
  if (Math.abs(expected.nominal) < IDLE_MOTOR_V) {
    return [
      numberCheck({
        id: throwId('polarity', name),
        subject: `${words}: this circuit drives nothing that way; motor voltage`,
        quantity: voltage,
        lower: -IDLE_MOTOR_V,
        upper: IDLE_MOTOR_V,
        origin: 'model',
        missing: whyMissing(context, name),
      }),
    ];
  }
  const positive = expected.nominal > 0;
  const bound = DRIVEN_PART * expected.nominal;
  const checks = [
    numberCheck({
      id: throwId('polarity', name),
      subject: `${words}: motor voltage, lead A against lead B,`,
      quantity: voltage,
      ...(positive ? { lower: bound } : { upper: bound }),
      origin: 'model',
      missing: whyMissing(context, name),
      hint: voltage && polarityHint(context, name, voltage, positive),
    }),
  ];
  const returns = positive ? 'B' : 'A';
  const level = quantityIn(context, `${name}Lead${returns}VoltageV`);
  const supply = quantityIn(context, `${name}SupplyVoltageV`);
  checks.push(
    numberCheck({
      id: throwId('return-lead', name),
      subject: `${words}: lead ${returns} carries the return and stands at`,
      quantity: level,
      upper: (supply?.value ?? context.expectation.nominalSupplyV) / 2,
      origin: 'model',
      missing: whyMissing(context, name),
      hint: `Lead ${returns} should be the one joined to ground.`,
    }),
  );
  return checks;
}

/** The master key of lead states: what both leads at one rail, or the wrong one high, means. */
function polarityHint(context: CheckContext, name: string, voltage: Quantity, positive: boolean): string {
  const a = quantityIn(context, `${name}LeadAVoltageV`)?.value;
  const b = quantityIn(context, `${name}LeadBVoltageV`)?.value;
  const supply = quantityIn(context, `${name}SupplyVoltageV`)?.value ?? context.expectation.nominalSupplyV;
  if (Math.abs(voltage.value) > supply / 2 && voltage.value > 0 !== positive)
    return 'It is driven the other way round.';
  if (a === undefined || b === undefined) return '';
  if (a > 0.8 * supply && b > 0.8 * supply)
    return 'Both leads stand at the feed: the return path is open, or both sides are switched to the feed.';
  const feed = quantityIn(context, `${name}FeedCurrentA`)?.value ?? 0;
  if (a < 1 && b < 1 && feed > 0.5) return 'Both leads stand at ground while the feed is drained: a short.';
  if (a < 1 && b < 1) return 'Both leads stand at ground: nothing feeds this throw.';
  return 'The motor does not get its voltage.';
}

function drops(context: CheckContext, name: string): Check[] {
  const words = throwWords(name);
  const current = quantityIn(context, `${name}RunningCurrentA`);
  return (['feed', 'ground'] as const).flatMap((side) => {
    const key = side === 'feed' ? 'Feed' : 'Ground';
    const expected = expectedOf(context, `${name}${key}ResistanceOhm`);
    if (!expected) return [];
    const drop = quantityIn(context, `${name}${key}DropV`);
    const usable = drop && current && context.supplyHolds ? drop : undefined;
    const modelV = current ? expected.upper * current.value : 0;
    const resistance = quantityIn(context, `${name}${key}ResistanceOhm`);
    const ohms =
      resistance && usable
        ? ` That is ${(resistance.value * 1000).toFixed(0)} mΩ at ${current!.value.toFixed(1)} A.`
        : '';
    return numberCheck({
      id: throwId(`${side}-drop`, name),
      subject:
        side === 'feed'
          ? `${words}: from the supply to the driven lead drops`
          : `${words}: from the return lead to ground drops`,
      quantity: usable,
      upper: modelV + DROP_ALLOWANCE_V[side],
      origin: 'generic',
      missing: current ? whyMissing(context, name) : 'not tested, no current to load it',
      hint: ohms.trim(),
    });
  });
}
