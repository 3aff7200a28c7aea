// A profile as a run shows it that no rig drove: whoever threw the unit fed it fully from the first, nothing stopped it, and
// where the capture does not tell what was thrown, only the current does. A cause is asked what it would read so.

import type { Capture } from '../capture/index.js';
import type { Plan, ResolvedUnit } from '../profile/index.js';

/** The same profile where a rig was there, which tells its feed, and for a relay by itself. */
export function asWitnessed(unit: ResolvedUnit, { feed, positionKnown }: Capture): ResolvedUnit {
  if (feed !== undefined || unit.unit.subject === 'relay') return unit;
  return {
    ...unit,
    plan: { ...unit.plan, steps: fullStepsOf(unit.plan.steps) },
    witness: positionKnown === false ? 'current-alone' : 'positions-told',
  };
}

/** Without the stages behind the limiter; rests that then stand beside each other are one. */
function fullStepsOf(steps: Plan['steps']): Plan['steps'] {
  const made: Plan['steps'] = [];
  for (const step of steps) {
    if (step.feed === 'limited') continue;
    const last = made.at(-1);
    if (last?.position === 'rest' && step.position === 'rest' && step.ask === undefined)
      made[made.length - 1] = { ...last, durationS: last.durationS + step.durationS };
    else made.push(step);
  }
  return made.length > 0 ? made : [...steps];
}
