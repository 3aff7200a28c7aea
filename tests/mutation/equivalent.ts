// Mutants that no test can see, for they do the same as the program, each with the reason.

import { readFileSync } from 'node:fs';

interface Place {
  line: number;
  column: number;
}

interface Mutant {
  fileName: string;
  mutatorName: string;
  replacement: string;
  location: { start: Place; end: Place };
}

export interface EquivalentMutant {
  file: string;
  mutator: string;
  /** What stands there, and in which line, so that lines may move. */
  original: string;
  line: string;
  replacement: string;
  because: string;
}

export const equivalentMutants: readonly EquivalentMutant[] = [
  {
    file: 'host/judge/relay/findings.ts',
    mutator: 'ConditionalExpression',
    original: "b.kind === 'diode'",
    replacement: 'true',
    line: "if (a.kind === 'diode' && b.kind === 'diode' && a.anodeAt !== b.anodeAt) return SUPPRESSION_MISMATCH;",
    because: 'Both kinds are the same from the line before on; the second question is for the compiler.',
  },
  {
    file: 'host/diagnose/library.ts',
    mutator: 'ArrayDeclaration',
    original: '[]',
    replacement: '["Stryker was here"]',
    line: "const read = outcomes.flatMap((outcome) => (typeof outcome === 'string' ? [] : outcome));",
    because: 'No outcome is a reason any more: the cause was left out before.',
  },
];

export function isListed(mutant: Mutant, listed: readonly EquivalentMutant[]): boolean {
  const { start, end } = mutant.location;
  const lines = readFileSync(mutant.fileName, 'utf8')
    .split('\n')
    .slice(start.line - 1, end.line);
  const [line = ''] = lines;
  const original = start.line === end.line ? line.slice(start.column - 1, end.column - 1) : lines.join('\n');
  return listed.some(
    (one) =>
      mutant.fileName.endsWith(one.file) &&
      mutant.mutatorName === one.mutator &&
      mutant.replacement === one.replacement &&
      line.trim() === one.line &&
      original === one.original,
  );
}
