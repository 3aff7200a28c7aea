// A judgement in plain lines: verdict, checks, findings.

import type { JudgementRecord } from '../records/index.js';
import {
  capitalised,
  chance,
  GRADE_WORDS,
  listed,
  OUTCOME_MARKS,
  retold,
  VERDICT_WORDS,
} from '../tell/index.js';

const GRADE_COLUMNS = 8;
const MARK_COLUMNS = Math.max(...Object.values(OUTCOME_MARKS).map((mark) => mark.length));

/** Ends with a line break. */
export function judgementText(judgement: Omit<JudgementRecord, 'measured'>): string {
  const lines = [`${VERDICT_WORDS[judgement.verdict]}  ${judgement.sentence}`, ''];
  // What is likely the matter, and what to touch, before all that was asked.
  if (judgement.findings.length > 0) {
    lines.push('Likely cause:');
    for (const finding of judgement.findings) {
      const { sentence, nextProbe, proof } = finding;
      lines.push(
        `  ${chance(finding).padStart(6)}  ${sentence}`,
        `          Next probe: ${nextProbe}`,
        ...(proof ?? []).map((reading) => `          Shown by: ${reading}`),
      );
    }
    lines.push('');
  }
  const { checks } = judgement;
  for (const [at, { outcome, sentence, notMade, wayUntold }] of checks.entries()) {
    const alike = notMade === undefined ? [] : checks.filter((other) => other.notMade === notMade);
    if (alike.length > 1 && alike[0] !== checks[at]) continue;
    const told =
      alike.length > 1
        ? wayUntold
          ? `Which throw went ${notMade} is not told: ${alike.length} checks of it were not tested.`
          : `${capitalised(notMade ?? '')} is not in this run: ${alike.length} checks of it were not tested.`
        : sentence;
    lines.push(`  ${OUTCOME_MARKS[outcome].padEnd(MARK_COLUMNS)}  ${told}`);
  }
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
  return `${retold(lines.join('\n'))}\n`;
}
