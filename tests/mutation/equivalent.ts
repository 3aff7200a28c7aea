// Mutants that no test can see, for they do the same as the program, each with the reason.

import { readFileSync } from 'node:fs';

interface Mutant {
  fileName: string;
  mutatorName: string;
  replacement: string;
  location: { start: { line: number } };
}

/** By what stands in the line, so that lines may move. */
export interface EquivalentMutant {
  file: string;
  mutator: string;
  replacement: string;
  /** The line in which it begins, without the space around it. */
  line: string;
  because: string;
}

export const equivalentMutants: readonly EquivalentMutant[] = [];

export function isListed(mutant: Mutant, listed: readonly EquivalentMutant[]): boolean {
  const line = readFileSync(mutant.fileName, 'utf8').split('\n')[mutant.location.start.line - 1]?.trim();
  return listed.some(
    (one) =>
      mutant.fileName.endsWith(one.file) &&
      mutant.mutatorName === one.mutator &&
      mutant.replacement === one.replacement &&
      line === one.line,
  );
}
