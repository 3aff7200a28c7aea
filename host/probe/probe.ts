// What one probe is: where, in which state of the bench, at what cost, and what it tells by what it would read of a cause.

import type { SenseClip } from '../circuit/index.js';
import type { Acted, Hypothesis } from '../diagnose/index.js';
import type { BenchOf, Way } from './bench-of.js';
import type { Range } from './hand-meter.js';
import type { Place } from './place.js';

/** One cause put on the bench in one of the ways in which it shows. */
export interface Shown {
  cause: Hypothesis;
  bench: BenchOf;
}

/** What a probe would give: a number on a range, or the chance of a yes. */
export type Expected = { value: number } | { yes: number };

/** What a probe asks for. */
export type Takes = { kind: 'answer' } | { kind: 'number'; range: Range };

export interface Probe extends Acted {
  /** kebab-case, permanent within a style. */
  id: string;
  where: readonly Place[];
  way?: Way;
  /** The clip that is moved for it. */
  clip?: SenseClip;
  takes: Takes;
  /** What has to be done first; probes with the same done are cheaper one after the other. */
  setup?: string;
  /** What good units leave open in its number; that of its range when absent. */
  leavesOpen?: { part: number; floor: number };
  /** What to do, as one says it aloud; of an answer, the question. Without stop. */
  words: string;
  expect(shown: Shown): Expected;
  /** The same at a glance, where `expect` is long to solve: good enough to choose by. */
  nearly?(shown: Shown): Expected;
}

/** What was read or answered. */
export type Reading =
  | { kind: 'number' /** Infinity for open. */; value: number; standardUncertainty?: number }
  | { kind: 'answer'; yes: boolean };
