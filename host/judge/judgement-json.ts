// The JSON of `judge --json`, and of a judgement in the record. Other programs rely on it: add only.

import { type QuantityNumbers, quantitiesJson } from '../tell/index.js';
import type { Check, Finding, Judgement, Verdict } from './verdict.js';

/** A check without what it is made of inside. */
export type CheckJson = Omit<Check, 'kind' | 'of' | 'throw'>;

export interface JudgementJson {
  verdict: Verdict;
  checks: CheckJson[];
  findings: Finding[];
  measured: Record<string, QuantityNumbers>;
  sentence: string;
}

/** Names carry units; what was not measured is absent, never zero. */
export const judgementJson = ({
  verdict,
  checks,
  findings,
  measured,
  sentence,
}: Judgement): JudgementJson => ({
  verdict,
  checks: checks.map(checkJson),
  findings: findings.map(({ id, likelihood, sentence, nextProbe, inseparable, proof }) => ({
    id,
    likelihood,
    sentence,
    nextProbe,
    ...(inseparable === undefined ? {} : { inseparable }),
    ...(proof === undefined ? {} : { proof }),
  })),
  measured: quantitiesJson(measured),
  sentence,
});

export const checkJson = ({
  kind: _,
  of: __,
  throw: ___,
  outcome,
  required,
  origin,
  ...check
}: Check): CheckJson => ({
  ...check,
  outcome,
  required,
  origin,
});
