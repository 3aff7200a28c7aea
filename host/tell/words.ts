// Words for verdicts and outcomes, and small joints of sentences: the same on screens, in plain lines and in the record.

export const VERDICT_WORDS = { pass: 'PASS', fail: 'FAIL', 'cannot-tell': 'CANNOT TELL' } as const;

export const OUTCOME_WORDS = {
  pass: 'pass',
  'conditional-pass': 'pass, close call',
  'conditional-fail': 'fail, close call',
  fail: 'fail',
  'not-tested': 'not tested',
} as const;

export const GRADE_WORDS = { good: 'good', fair: 'fair', poor: 'poor', 'not-told': 'not told' } as const;

/** What a reason of a grade is about. */
export const GRADED_WORDS = {
  fault: 'Fault',
  starts: 'Starts',
  directions: 'Directions',
  brushes: 'Brushes',
  ripple: 'Ripple',
  release: 'Release',
  leakage: 'Leakage',
  usual: 'Currents',
  motor: 'Motor',
} as const;

/** At the head of a line. */
export const OUTCOME_MARKS = { ...OUTCOME_WORDS, fail: 'FAIL' } as const;

/** What a person decides of a unit after its verdict. */
export const DISPOSITION_WORDS = {
  accept: 'accepted',
  rework: 'to be reworked',
  reject: 'rejected',
  hold: 'set aside',
} as const;

/** Where a limit comes from. */
export const ORIGIN_WORDS = {
  maker: "maker's figures",
  learned: 'known good unit',
  model: 'model of the circuit',
  published: 'published figure',
  generic: 'generic, unproven',
} as const;

export const FEED_WORDS = { off: 'feed off', limited: 'feed limited', full: 'full feed' } as const;

/** What ended a run before its plan did; of the board's own names what the rig sums up under one reason too. */
const STOP_CLAUSES: Record<string, string> = {
  'over-current': 'the board cut the outputs: current above the trip limit',
  'motor-over-current': 'the board cut the outputs: motor current above its trip limit',
  'feed-over-current': 'the board cut the outputs: feed current above its trip limit',
  'stop-input': 'the stop loop opened; the board cut the outputs',
  'host-silence': 'the board heard nothing from this computer in time and cut the outputs',
  'longest-hold': 'the board ended the throw at its longest hold',
  watchdog: 'the board restarted itself; outputs are off',
  'host-request': 'outputs off at the operator’s request',
  'link-lost': 'the rig no longer answers; its board cuts the outputs by itself',
  'limited-feed-short': 'a short showed through the limited feed',
  'coil-short': 'the coil feed is shorted',
  'fed-at-rest': 'something is fed at rest that the circuit ought to hold still',
};

/** A reason that a person gave stays as it was given. */
export const stopClause = (reason: string): string => STOP_CLAUSES[reason] ?? reason;

/** Day and time of the clock on the reader's wall, to the second. */
export function localTime(date: Date): { day: string; time: string } {
  const two = (value: number): string => String(value).padStart(2, '0');
  return {
    day: `${date.getFullYear()}-${two(date.getMonth() + 1)}-${two(date.getDate())}`,
    time: `${two(date.getHours())}:${two(date.getMinutes())}:${two(date.getSeconds())}`,
  };
}

export const capitalised = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);
/** As it stands within a sentence; a mark such as K1 stays as it is printed on the part. */
export const lowered = (text: string): string =>
  /^[A-Z][A-Z\d]/.test(text) ? text : text.charAt(0).toLowerCase() + text.slice(1);

const NUMBER_WORDS = ['no', 'one', 'two', 'three', 'four', 'five', 'six', 'seven', 'eight', 'nine'];

/** `three`; from ten on in figures. */
export const inWords = (count: number): string => NUMBER_WORDS[count] ?? String(count);

/** A sentence without its full stop, to stand within another. */
export const withoutStop = (sentence: string): string => sentence.replace(/\.$/, '');

/** `lead A, the feed current and lead B`. */
export const listed = (words: readonly string[], last: 'and' | 'or' = 'and'): string =>
  words.length < 2 ? words.join('') : `${words.slice(0, -1).join(', ')} ${last} ${words.at(-1)}`;

/** Which way an output went when it was thrown forward: `up, as it should (seen by a person)`. */
export function wayText({
  moved,
  words,
  by,
  declared,
}: {
  moved: string;
  words: string;
  by: 'person' | 'virtual-bench';
  declared?: string | undefined;
}): string {
  const seen = by === 'person' ? 'told by a person' : 'told by the virtual bench';
  if (moved === 'unseen') return `${words} (${seen})`;
  if (declared === undefined) return `${words} (${seen}); the profile does not say which way is right`;
  const against = moved === 'as-forward' ? 'as it should' : `and should move it ${declared}`;
  return `${words}, ${against} (${seen})`;
}
