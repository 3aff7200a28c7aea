// A judgement as the record keeps it: what programs are told of it, and every reading with all that is known of it.

import type { CheckJson, Finding, Judgement, Quantity, Verdict } from '../judge/index.js';

export interface JudgementRecord {
  verdict: Verdict;
  sentence: string;
  checks: CheckJson[];
  findings: Finding[];
  /** By the reading's key; without the lines of its budget. */
  measured: Record<string, Omit<Quantity, 'budget'>>;
  /** Of a motor without a sheet. */
  grade?: Judgement['grade'];
  /** Parts of the unit that were not on the bench. */
  notOnBench?: Judgement['notOnBench'];
  /** Which way the output went when it was thrown forward, where somebody saw it. */
  way?: Judgement['way'];
}

export const judgementRecord = ({ checks, measured, ...told }: Judgement): JudgementRecord => ({
  ...told,
  checks: checks.map(({ kind: _, of: __, throw: ___, ...check }) => check),
  measured: Object.fromEntries(
    Object.entries(measured).map(([key, { what: _, of: __, budget: ___, ...quantity }]) => [key, quantity]),
  ),
});
