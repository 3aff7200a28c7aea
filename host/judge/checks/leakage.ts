// Feed current that does not come back through the motor lead: onto ground from the harness, or from a winding onto its
// case. The shunt sits in lead A, so it shows where lead B is fed, and of the harness's own side where A is.

import { atStart, type Reading, type RunStretch } from '../../measure/index.js';
import { amount, reading } from '../../tell/index.js';
import { checkOf } from '../check.js';
import type { Check, CheckKind } from '../verdict.js';
import { type CheckContext, expectedOf, seenOf } from './context.js';

const LEAKAGE: CheckKind = { id: 'leakage', of: 'unit', rank: 105 };

/** Of the reading's expanded uncertainty: noise stays below the first, and beyond the second it is a leak. Choices of this program, no source. */
const WITHIN = 1.9;
const BEYOND = 2.5;
/** Less on the motor proves nothing. Choice of this program, no source. */
const LEAST_DRIVE_V = 3;

export function leakageChecks(context: CheckContext): Check[] {
  if (!context.supplyHolds) return [];
  return context.expectation.throws.flatMap(({ of }): Check[] => {
    const leak = seenOf(context, 'leakageA', of);
    const fed = fedLead(context, of);
    // A throw that should drive nothing, or does not, is told by its lead states.
    return leak && fed ? [leakageCheck(leak, of, fed)] : [];
  });
}

interface FedLead {
  lead: 'A' | 'B';
  voltageV: number;
}

function leakageCheck(leak: Reading, of: RunStretch, { lead, voltageV }: FedLead): Check {
  const { value, unit, expandedUncertainty } = leak;
  const upper = WITHIN * expandedUncertainty;
  const leaks = value > upper;
  const read = reading(value, expandedUncertainty, unit);
  const seenBelow = amount(voltageV / (BEYOND * expandedUncertainty), 'Ohm', 0);
  // The shunt lies between the two.
  const unseen = lead === 'A' ? `, of the harness, and a leak of the winding on that side not at all` : '';
  const sentence = leaks
    ? `${atStart(of)}: ${read} of the feed current does not come back through the motor lead: about ${amount(voltageV / value, 'Ohm', 0)} from lead ${lead} to ground or case. Unplugged, measure each lead to the case with a meter.`
    : `${atStart(of)}: feed and motor current differ by ${read}. More than ${seenBelow} from lead ${lead} to ground cannot be seen so${unseen}: measure lead to case with a meter, unplugged.`;
  return checkOf(LEAKAGE, {
    throw: of,
    sentence,
    ...{ value, unit, expandedUncertainty, upper },
    origin: 'model',
    outcome: leaks ? (value > BEYOND * expandedUncertainty ? 'fail' : 'conditional-fail') : 'pass',
  });
}

/** The lead that is driven, and by what; undefined where the throw does not drive the motor as it should. */
function fedLead(context: CheckContext, of: RunStretch): FedLead | undefined {
  const expected = expectedOf(context, 'motorVoltageV', of);
  const motor = seenOf(context, 'motorVoltageV', of);
  if (!expected || !motor || Math.abs(motor.value) < LEAST_DRIVE_V) return undefined;
  if (motor.value * expected.nominal <= 0) return undefined;
  const lead = motor.value > 0 ? 'A' : 'B';
  const voltageV = seenOf(context, lead === 'A' ? 'leadAVoltageV' : 'leadBVoltageV', of)?.value;
  return voltageV === undefined ? undefined : { lead, voltageV };
}
