// What a plan asks a person for, by the names that styles give it.

import type { Plan } from './schema.js';

/** Ids of asks that mean the slow turning of a coil's supply: `ramp`, `ramp-coil`. */
const RAMP = /^ramp(?:-|$)/;

export const isRampAsk = (ask: string | undefined): boolean => ask !== undefined && RAMP.test(ask);

/** The plan as far as it goes without the turning of the supply. */
export function withoutRamp(plan: Plan): Plan {
  const at = plan.steps.findIndex(({ ask }) => isRampAsk(ask));
  return at < 0 ? plan : { ...plan, steps: plan.steps.slice(0, at) };
}
