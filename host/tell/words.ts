// Words for verdicts and outcomes, and small joints of sentences: the same on screens, in plain lines and in the record.

export const VERDICT_WORDS = { pass: 'PASS', fail: 'FAIL', 'cannot-tell': 'CANNOT TELL' } as const;

export const OUTCOME_WORDS = {
  pass: 'pass',
  'conditional-pass': 'pass, close call',
  'conditional-fail': 'fail, close call',
  fail: 'fail',
  'not-tested': 'not tested',
} as const;

/** At the head of a line. */
export const OUTCOME_MARKS = {
  pass: 'ok  ',
  'conditional-pass': 'ok? ',
  'conditional-fail': '??  ',
  fail: 'FAIL',
  'not-tested': '--  ',
} as const;

export const FEED_WORDS = { off: 'feed off', limited: 'feed limited', full: 'full feed' } as const;

export const capitalised = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);
export const lowered = (text: string): string => text.charAt(0).toLowerCase() + text.slice(1);

/** `lead A, the feed current and lead B`. */
export const listed = (words: readonly string[]): string =>
  words.length < 2 ? words.join('') : `${words.slice(0, -1).join(', ')} and ${words.at(-1)}`;
