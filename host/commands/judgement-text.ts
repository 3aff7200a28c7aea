// A judgement in plain lines: verdict, checks, findings.

import type { Judgement } from '../judge/index.js';

export const VERDICT_WORD = { pass: 'PASS', fail: 'FAIL', 'cannot-tell': 'CANNOT TELL' } as const;
const MARK = {
  pass: 'ok  ',
  'conditional-pass': 'ok? ',
  'conditional-fail': '??  ',
  fail: 'FAIL',
  'not-tested': '--  ',
} as const;

/** Ends with a line break. */
export function judgementText(judgement: Judgement): string {
  const lines = [`${VERDICT_WORD[judgement.verdict]}  ${judgement.sentence}`, ''];
  for (const { outcome, sentence } of judgement.checks) lines.push(`  ${MARK[outcome]}  ${sentence}`);
  if (judgement.findings.length > 0) {
    lines.push('', 'Likely cause:');
    for (const { likelihood, sentence, nextProbe, proof } of judgement.findings) {
      lines.push(
        `  ${(100 * likelihood).toFixed(0).padStart(3)} %  ${sentence}`,
        ...(proof ?? []).map((reading) => `         Shown by: ${reading}`),
        `         Next: ${nextProbe}`,
      );
    }
  }
  return `${lines.join('\n')}\n`;
}
