// The JSON of `judge --json`, and of a judgement in the record. Other programs rely on it: add only.

import { isWayUntold } from '../measure/index.js';
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
  /** Of a motor without a sheet. */
  grade?: Judgement['grade'];
  /** Parts of the unit that were not on the bench, and so not judged. */
  notOnBench?: Judgement['notOnBench'];
  /** Which way the output went when it was thrown forward, where somebody saw it. */
  way?: Judgement['way'];
  /** What was sampled does not tell forward from reverse: what is named forward may be either. */
  directionNotTold?: true;
}

/** Names carry units; what was not measured is absent, never zero. */
export const judgementJson = ({
  verdict,
  checks,
  findings,
  measured,
  sentence,
  notOnBench,
  grade,
  way,
}: Judgement): JudgementJson => ({
  verdict,
  checks: checks.map(checkJson),
  findings: findings.map(({ id, likelihood, sentence, nextProbe, probe, inseparable, proof, causes }) => ({
    id,
    likelihood,
    sentence,
    nextProbe,
    ...(probe === undefined ? {} : { probe }),
    ...(inseparable === undefined ? {} : { inseparable }),
    ...(proof === undefined ? {} : { proof }),
    ...(inseparable === undefined || causes === undefined ? {} : { causes }),
  })),
  measured: quantitiesJson(measured),
  sentence,
  ...(grade === undefined ? {} : { grade }),
  ...(notOnBench === undefined ? {} : { notOnBench }),
  ...(way === undefined ? {} : { way }),
  ...(isWayUntold(measured) ? { directionNotTold: true } : {}),
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
