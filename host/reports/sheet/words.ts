// Words that stand on every sheet, whatever it is set in.

import { OUTCOME_WORDS, VERDICT_WORDS } from '../../tell/index.js';
import type { Sheet, SheetCheck } from './sheet.js';

export const HEADS = {
  cause: 'Likely cause',
  next: 'Next probe',
  proof: 'Shown by',
  traces: 'Measured',
  checks: 'Checks: what was read, ± at 95 %, and its limit',
  origin: 'limit from',
  facts: 'Rig and conditions',
  story: 'Story of this unit',
  cautions: 'Before anybody powers it again',
} as const;

export const verdictWord = ({ verdict }: Pick<Sheet, 'verdict'>): string =>
  verdict === undefined ? 'STILL RUNNING' : VERDICT_WORDS[verdict];

/** `and 4 more: 3 pass, 1 not tested`; empty where none is left. */
export function leftOut(checks: readonly SheetCheck[]): string {
  if (checks.length === 0) return '';
  const outcomes = [...new Set(checks.map(({ outcome }) => outcome))];
  const counts = outcomes.map(
    (outcome) => `${checks.filter((check) => check.outcome === outcome).length} ${OUTCOME_WORDS[outcome]}`,
  );
  return `and ${checks.length} more: ${counts.join('; ')}`;
}

export const footOf = ({ runId, anchor }: Sheet): string =>
  anchor === undefined ? `run ${runId}` : `run ${runId} · anchor ${anchor}`;

/** A number and its unit stay on one line. */
export const unbroken = (sentence: string): string =>
  sentence
    .replace(/(\d) (?=(±|%|°[CF]|[mk]?[AVΩ]|m?s)(?![A-Za-z]))/g, '$1\u00a0')
    .replace(/± (?=\d)/g, '±\u00a0');
