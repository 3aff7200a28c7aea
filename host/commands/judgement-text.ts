// A judgement in plain lines: verdict, checks, findings.

import type { JudgementRecord } from '../records/index.js';
import { chance, GRADE_WORDS, listed, OUTCOME_MARKS, VERDICT_WORDS } from '../tell/index.js';

const GRADE_COLUMNS = 8;

/** Ends with a line break. */
export function judgementText(judgement: Omit<JudgementRecord, 'measured'>): string {
  const lines = [`${VERDICT_WORDS[judgement.verdict]}  ${judgement.sentence}`, ''];
  for (const { outcome, sentence } of judgement.checks)
    lines.push(`  ${OUTCOME_MARKS[outcome]}  ${sentence}`);
  if (judgement.grade) {
    const { grade, reasons, resembles } = judgement.grade;
    lines.push('', `Grade: ${GRADE_WORDS[grade]}`);
    for (const reason of reasons)
      lines.push(`  ${GRADE_WORDS[reason.grade].padEnd(GRADE_COLUMNS)}  ${reason.sentence}`);
    if (resembles.length > 0) lines.push(`  like: ${listed(resembles, 'or')}`);
  }
  const unproven = judgement.checks.filter(
    ({ origin, lower, upper }) => origin === 'generic' && (lower !== undefined || upper !== undefined),
  ).length;
  if (unproven > 0)
    lines.push(
      '',
      `Limits of ${unproven} checks are generic and unproven: replace the profile's numbers by those of a known good unit.`,
    );
  if (judgement.findings.length > 0) {
    lines.push('', 'Likely cause:');
    for (const finding of judgement.findings) {
      const { sentence, nextProbe, proof } = finding;
      lines.push(
        `  ${chance(finding).padStart(6)}  ${sentence}`,
        ...(proof ?? []).map((reading) => `          Shown by: ${reading}`),
        `          Next: ${nextProbe}`,
      );
    }
  }
  return `${lines.join('\n')}\n`;
}
