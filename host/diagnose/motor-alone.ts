// A motor without harness: its own leads lie behind the points where the rig senses, so what ails them reads as the
// motor's own resistance.

import type { ResolvedUnit } from '../profile/index.js';
import type { Hypothesis } from './hypotheses.js';

/** Against 1 for the motor's own faults; common practice, no source. */
const LEAD_PRIOR = 0.5;
/** A loose lead drops out as brushes do, and oftener than not it is not loose but corroded. Common practice, no source. */
const LEAD_DROPOUT = 0.3;

/** `hypotheses` with weights and ways to show as they are when a motor alone is judged; others come back as they are. */
export function weighedForMotorAlone(unit: ResolvedUnit, hypotheses: readonly Hypothesis[]): Hypothesis[] {
  if (unit.unit.subject !== 'motor') return [...hypotheses];
  const brushes = hypotheses.find(({ owner, what }) => owner === 'motor' && what === 'brushes-worn');
  return hypotheses.map((hypothesis) => {
    const { owner, kind, parts, prior, dropouts } = hypothesis;
    if (owner === 'rig' || parts[0]?.kind !== 'wire') return hypothesis;
    const lead = { ...hypothesis, prior: prior * LEAD_PRIOR };
    if (brushes === undefined || kind !== 'resistance') return lead;
    const motor = Math.min(brushes.dropouts.motor, LEAD_DROPOUT);
    return { ...lead, ways: brushes.ways, dropouts: { ...dropouts, motor } };
  });
}
