// All checks of a relay by itself, and those of the run as a whole: its end, its supply, the turning of the coil's supply.

import { isRampAsk } from '../../profile/index.js';
import { numberCheck } from '../checks/context.js';
import type { Check } from '../verdict.js';
import { coilChecks } from './coil-checks.js';
import { contactChecks, dropChecks, timeChecks } from './contact-checks.js';
import { limited, type RelayContext, said } from './context.js';
import { relayLimits } from './limits.js';

/** A coil supply in which a 12 V relay can be judged, as parts of its nominal voltage (common practice, no source). */
const SUPPLY_PARTS = [0.85, 1.3] as const;
export function relayChecks(context: RelayContext): Check[] {
  return [
    ...runChecks(context),
    ...coilChecks(context),
    ...contactChecks(context),
    ...timeChecks(context),
    ...dropChecks(context),
    ...rampChecks(context),
  ];
}

function runChecks({ stop, seen, relay }: RelayContext): Check[] {
  const checks: Check[] = [];
  if (stop === 'over-current')
    checks.push(said('over-current', 'fail', 'The rig stopped for over-current: a short past the load.'));
  else if (stop !== undefined)
    checks.push(
      said('plan', 'not-tested', 'The run was stopped before its end; what was not run is not tested.'),
    );
  const supply = seen.measured.coilSupplyVoltageV;
  const [low, high] = SUPPLY_PARTS.map((part) => part * relay.nominalVoltageV) as [number, number];
  const check = numberCheck({
    id: 'supply',
    subject: 'With the coil on the supply is',
    quantity: supply,
    lower: low,
    upper: high,
    origin: 'generic',
    missing: 'not measured',
  });
  const isOut = check.outcome === 'fail' || check.outcome === 'conditional-fail';
  checks.push(isOut ? { ...check, outcome: 'not-tested' } : check);
  return checks;
}

function rampChecks({ unit, relay, seen }: RelayContext): Check[] {
  const limits = relayLimits(unit, relay, undefined);
  // What the plan does not ask for is told as not tested and holds no verdict up.
  const isAsked = unit.plan.steps.some(({ ask }) => isRampAsk(ask));
  const missing = isAsked
    ? 'not tested, the supply was not turned up and down, or the relay did not follow'
    : 'not tested, this plan has no turning of the supply';
  return [
    numberCheck({
      id: 'pull-in',
      subject: 'It pulls in at',
      quantity: seen.measured.pullInVoltageV,
      ...limited(limits.pullInV),
      required: isAsked,
      missing,
      hint: 'A relay like that works in winter and not in summer.',
    }),
    numberCheck({
      id: 'drop-out',
      subject: 'It drops out at',
      quantity: seen.measured.dropOutVoltageV,
      ...limited(limits.dropOutV),
      required: isAsked,
      missing,
      hint: 'It may stay on by itself.',
    }),
  ];
}
