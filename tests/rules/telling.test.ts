// Numbers and words are told from one place: a second one would tell the same thing in another way.

import { describe, expect, it } from 'vitest';
import { codeOnly, moduleOf, readSources } from './source-tree.js';

const elsewhere = readSources('host').filter((file) => moduleOf(file.path) !== 'tell');

/** Lines of code in which `pattern` is found, as `file: line`. */
const linesWith = (pattern: RegExp): string[] =>
  elsewhere.flatMap(({ path, text }) =>
    codeOnly(text)
      .split('\n')
      .filter((line) => pattern.test(line))
      .map((line) => `${path}: ${line.trim()}`),
  );

describe('what is told', () => {
  it('takes its digits from tell alone; elsewhere a rounded number stays a number', () => {
    expect(linesWith(/(?<!Number\([^`]*)\.to(Fixed|Precision|LocaleString)\(/)).toEqual([]);
  });

  it('has no second table of the words for verdicts and outcomes', () => {
    expect(
      linesWith(/'?(pass|fail|cannot-tell|conditional-pass|not-tested)'?: '(?!good|bad|doubt|quiet)/),
    ).toEqual([]);
    expect(linesWith(/['"`](PASS|FAIL|CANNOT TELL)\b/)).toEqual([]);
  });
});
