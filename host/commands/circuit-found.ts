// What a run's first finding speaks of, as far as it lies in the circuit.

import type { Fault } from '../circuit/index.js';
import type { Finding } from '../judge/index.js';
import type { ResolvedUnit } from '../profile/index.js';
import type { RunRecord } from '../records/index.js';
import { causesOf } from './circuit-shown.js';

/** Ids of all that it cannot tell apart, the likeliest first. */
export const causeIdsOf = ({
  id,
  causes,
  inseparable = [],
}: Pick<Finding, 'id' | 'causes' | 'inseparable'>): string[] =>
  causes?.map((cause) => cause.id) ?? [id, ...inseparable];

/** Every cause that it names, the likeliest first; none where nothing was found, or nothing on the list. */
export function foundIn(run: Pick<RunRecord, 'judgement'>, unit: ResolvedUnit): Fault[] {
  const [finding] = run.judgement?.findings ?? [];
  if (finding === undefined) return [];
  const known = new Map(causesOf(unit).map((fault) => [fault.id, fault]));
  return [...new Set(causeIdsOf(finding))]
    .flatMap((id) => known.get(id) ?? [])
    .filter(({ kind }) => kind !== 'none');
}
