// All checks of a relay by itself, and those of the run as a whole: its end, its supply, the turning of the coil's supply.

import { readingOf } from '../../measure/index.js';
import { isRampAsk } from '../../profile/index.js';
import { checkOf, numberCheck, untested } from '../check.js';
import type { Check, CheckKind } from '../verdict.js';
import { coilChecks } from './coil-checks.js';
import { contactChecks, dropChecks, timeChecks } from './contact-checks.js';
import { limited, type RelayContext, type RelayRule } from './context.js';
import { relayLimits } from './limits.js';

/** A coil supply in which a 12 V relay can be judged, as parts of its nominal voltage (common practice, no source). */
const SUPPLY_PARTS = { low: 0.85, high: 1.3 };

const SUPPLY: CheckKind = { id: 'supply', of: 'supply', rank: 10 };
const PLAN: CheckKind = { id: 'plan', of: 'rig', rank: 20 };
const OVER_CURRENT: CheckKind = { id: 'over-current', of: 'unit', rank: 40 };
const PULL_IN: CheckKind = { id: 'pull-in', of: 'relay', rank: 180 };
const DROP_OUT: CheckKind = { id: 'drop-out', of: 'relay', rank: 180 };

const RULES: readonly RelayRule[] = [
  runChecks,
  coilChecks,
  contactChecks,
  timeChecks,
  dropChecks,
  rampChecks,
];

export const relayChecks = (context: RelayContext): Check[] => RULES.flatMap((rule) => rule(context));

function runChecks({ stop, seen, relay }: RelayContext): Check[] {
  const checks: Check[] = [];
  if (stop === 'over-current') {
    const sentence = 'The rig stopped for over-current: a short past the load.';
    checks.push(checkOf(OVER_CURRENT, { outcome: 'fail', sentence }));
  } else if (stop !== undefined) {
    const sentence = 'The run was stopped before its end; what was not run is not tested.';
    checks.push(checkOf(PLAN, { outcome: 'not-tested', sentence }));
  }
  const check = numberCheck(SUPPLY, {
    subject: 'With the coil on the supply is',
    named: 'Supply with the coil on',
    quantity: readingOf(seen.measured, 'coilSupplyVoltageV'),
    lower: SUPPLY_PARTS.low * relay.nominalVoltageV,
    upper: SUPPLY_PARTS.high * relay.nominalVoltageV,
    origin: 'generic',
    missing: 'not measured',
  });
  const isOut = check.outcome === 'fail' || check.outcome === 'conditional-fail';
  return [...checks, isOut ? untested(check) : check];
}

function rampChecks({ unit, relay, seen }: RelayContext): Check[] {
  const limits = relayLimits(unit, relay, undefined);
  // What the plan does not ask for is told as not tested and holds no verdict up.
  const isAsked = unit.plan.steps.some(({ ask }) => isRampAsk(ask));
  const base = {
    required: isAsked,
    missing: isAsked
      ? 'not tested, the supply was not turned up and down, or the relay did not follow'
      : 'not tested, this plan has no turning of the supply',
  };
  return [
    numberCheck(PULL_IN, {
      ...base,
      subject: 'It pulls in at',
      named: 'Pull-in',
      quantity: readingOf(seen.measured, 'pullInVoltageV'),
      ...limited(limits.pullInV),
      hint: 'A relay like that works in winter and not in summer.',
    }),
    numberCheck(DROP_OUT, {
      ...base,
      subject: 'It drops out at',
      named: 'Drop-out',
      quantity: readingOf(seen.measured, 'dropOutVoltageV'),
      ...limited(limits.dropOutV),
      hint: 'It may stay on by itself.',
    }),
  ];
}
