// The causes that a probing starts from: those of a run's findings, by their likelihoods, with the rest of the profile's
// list behind them; or the whole list, by how common each is.

import { HEALTHY, type Hypothesis, hypothesesOf, type RankedFinding } from '../diagnose/index.js';
import type { ResolvedUnit } from '../profile/index.js';

export interface WeighedCause {
  cause: Hypothesis;
  /** Relative weight before any probe. */
  weight: number;
  /** What stands before the probing speaks for it. */
  isNamed: boolean;
}

/** What is left to every cause that a run does not name, and to none of the list. Choices of this program, no source. */
const UNNAMED = 0.03;
const LEAST_UNLISTED = 0.01;

/** What a finding must tell; kept in every record. */
export type FindingTold = Pick<RankedFinding, 'id' | 'likelihood' | 'inseparable' | 'causes'>;

/** @returns undefined where the findings name no cause of the profile's list. */
export function causesOfRun(
  unit: ResolvedUnit,
  findings: readonly FindingTold[],
): { causes: WeighedCause[]; unlisted: number } | undefined {
  const named = new Map<string, number>();
  for (const finding of findings)
    for (const { id, likelihood } of chancesOf(finding)) named.set(id, (named.get(id) ?? 0) + likelihood);
  const list = hypothesesOf(unit);
  const onList = list.filter(({ id }) => named.has(id));
  if (onList.every(({ id }) => id === HEALTHY)) return undefined;
  const rest = list.filter(({ id }) => !named.has(id));
  const commonness = rest.reduce((sum, { prior }) => sum + prior, 0);
  const told = onList.reduce((sum, { id }) => sum + (named.get(id) ?? 0), 0);
  return {
    causes: [
      ...onList.map((cause) => ({ cause, weight: named.get(cause.id) ?? 0, isNamed: true })),
      ...rest.map((cause) => ({
        cause,
        weight: (UNNAMED * told * cause.prior) / commonness,
        isNamed: false,
      })),
    ],
    unlisted: Math.max(LEAST_UNLISTED, 1 - told - UNNAMED * told),
  };
}

/** Every cause of the profile, by how common it is: before anything was run. */
export function causesOfProfile(unit: ResolvedUnit): { causes: WeighedCause[]; unlisted: number } {
  const list = hypothesesOf(unit);
  const total = list.reduce((sum, { prior }) => sum + prior, 0);
  return {
    causes: list.map((cause) => ({ cause, weight: cause.prior / total, isNamed: true })),
    unlisted: UNNAMED,
  };
}

/** Older records tell a finding's causes by id only: they share its likelihood. */
function chancesOf({
  id,
  likelihood,
  inseparable = [],
  causes,
}: FindingTold): { id: string; likelihood: number }[] {
  if (causes !== undefined) return causes;
  const ids = [id, ...inseparable];
  return ids.map((each) => ({ id: each, likelihood: likelihood / ids.length }));
}
