// What stands on the one-page sheet of a run, in the order in which it is read; how it is set is up to HTML and PDF.

import type { ORIGIN_WORDS, OUTCOME_WORDS, VERDICT_WORDS } from '../../tell/index.js';

export type Paper = 'a4' | 'letter';

export interface SheetCheck {
  outcome: keyof typeof OUTCOME_WORDS;
  /** What was read, its ± and its limit. */
  sentence: string;
  /** Where the limit comes from; absent where there is none. */
  origin?: keyof typeof ORIGIN_WORDS;
}

export interface SheetCause {
  /** `>99 %`. */
  chance: string;
  sentence: string;
  /** Readings that prove it. */
  proof: readonly string[];
  nextProbe: string;
}

/** Size of the letters in pictures, in their own units, and the least that is read on paper: 4.5 points. */
export const SVG_LETTER = 12;
export const LEAST_LETTER_MM = 1.59;

/** The circuit with its faulty place, small enough to stand beside the checks. */
export interface SheetCircuit {
  svg: string;
  caption: string;
}

export interface Sheet {
  /** Name and address of the shop, a line each. */
  shop: readonly string[];
  tag: string;
  title: string;
  /** Absent while a run goes on. */
  verdict?: keyof typeof VERDICT_WORDS;
  sentence: string;
  /** Why its numbers are in doubt. */
  doubt?: string;
  causes: readonly SheetCause[];
  /** SVG; absent where the run has no samples. */
  picture?: string;
  /** Part of the width that it takes; 1 where nothing is told. */
  pictureShare?: number;
  circuit?: SheetCircuit | undefined;
  /** Those that tell most first. */
  checks: readonly SheetCheck[];
  /** Rig, calibration, conditions and the like: name and text. */
  facts: readonly (readonly [name: string, text: string])[];
  /** Earlier attempts of the same tag, newest first. */
  story: readonly string[];
  /** Of the story, lines that are not told here. */
  storyLeft?: number;
  cautions: readonly string[];
  runId: string;
  /** Short hash of the record. */
  anchor?: string;
  /** Wall clock of the run, ISO 8601: the sheet of a record is the same whenever it is made. */
  at: string;
  /** What the code says, for `log show`. */
  code: string;
}

const RANK: Record<SheetCheck['outcome'], number> = {
  fail: 0,
  'conditional-fail': 1,
  'conditional-pass': 2,
  'not-tested': 3,
  pass: 4,
};

/** Among checks of one outcome a number against its limit tells more than a word. */
const rankOf = ({ outcome, origin }: SheetCheck): number =>
  RANK[outcome] * 2 + (origin === undefined ? 1 : 0);

/** Failed ones first, then what was too close, then the rest, each in its order. */
export const tellingFirst = (checks: readonly SheetCheck[]): SheetCheck[] =>
  checks.toSorted((a, b) => rankOf(a) - rankOf(b));

/** The verdict's reason; empty where the cause under it says the same. */
export const reasonOf = ({ verdict, causes, sentence }: Sheet): string =>
  verdict === 'fail' && causes.length > 0 ? '' : sentence;
