// A motor without harness: its own leads lie behind the points where the rig senses, so what ails them reads as the
// motor's own resistance; and the rig's links are the last thing to accuse of what a motor can do as well.

import type { ResolvedUnit } from '../profile/index.js';
import type { Hypothesis } from './hypotheses.js';

/** Against 1 for the motor's own faults; common practice, no source. */
const LEAD_PRIOR = 0.5;
const RIG_PRIOR = 0.2;
/** A loose lead drops out as brushes do, and oftener than not it is not loose but corroded. Common practice, no source. */
const LEAD_DROPOUT = 0.3;

/** `hypotheses` with weights and ways to show as they are when a motor alone is judged; others come back as they are. */
export function weighedForMotorAlone(unit: ResolvedUnit, hypotheses: readonly Hypothesis[]): Hypothesis[] {
  if (unit.unit.subject !== 'motor') return [...hypotheses];
  const parts = new Map(unit.style.elements.map((element) => [element.id, element]));
  const brushes = hypotheses.find(({ id }) => id.endsWith('-brushes-worn'));
  return hypotheses.map((hypothesis) => {
    const part = [...parts.values()].find(({ id }) => hypothesis.id.startsWith(`${id}-`));
    if (part?.rigOwn === true) return { ...hypothesis, prior: hypothesis.prior * RIG_PRIOR };
    if (part?.kind !== 'wire') return hypothesis;
    const weighed = { ...hypothesis, prior: hypothesis.prior * LEAD_PRIOR };
    if (brushes === undefined || !hypothesis.id.endsWith('-resistance')) return weighed;
    const { motor } = brushes.dropouts;
    return {
      ...weighed,
      variants: brushes.variants,
      dropouts: { ...hypothesis.dropouts, motor: Math.min(motor, LEAD_DROPOUT) },
    };
  });
}
