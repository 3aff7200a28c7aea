// What went wrong, as the event that tells it.

import type { BenchEvent } from './events.js';

export const troubleOf = (error: unknown, advice = adviceOf(error)): BenchEvent & { kind: 'trouble' } => ({
  kind: 'trouble',
  code: codeOf(error),
  sentence: sentenceOf(error),
  advice,
});

/** The error's own first line. */
export function sentenceOf(error: unknown): string {
  const [line] = (error instanceof Error ? error.message : String(error)).split('\n');
  return line ?? '';
}

function codeOf(error: unknown): string {
  return typeof error === 'object' && error !== null && 'code' in error ? String(error.code) : 'unexpected';
}

function adviceOf(error: unknown): string {
  if (typeof error === 'object' && error !== null && 'advice' in error) return String(error.advice);
  return 'Check the rig’s cable and supply, then start the unit again.';
}
