// Causes and what they read, made by hand and without simulation: what a test does not name is as of a good unit.

import {
  type DiagnosisLibrary,
  HEALTHY,
  type Hypothesis,
  type LibraryEntry,
  nothingWrong,
} from '../../host/diagnose/index.js';
import type { Pattern } from '../../host/diagnose/library.js';
import type { Evidence } from '../../host/diagnose/likelihood.js';
import type { MeasureResult, Segment } from '../../host/measure/index.js';
import { FORWARD, measuredOf, type ReadAt, segmentOf, shipped } from '../judge/handmade.js';

export interface Shown {
  read?: readonly ReadAt[];
  /** By default one full throw forward. */
  segments?: readonly Segment[];
  tripsIn?: string;
}

export const patternOf = ({ read = [], segments = [segmentOf(FORWARD)], tripsIn }: Shown): Pattern => ({
  measured: measuredOf(read),
  segments: [...segments],
  tripsIn,
});

export const seenOf = ({ read = [], segments = [segmentOf(FORWARD)] }: Shown): MeasureResult => ({
  measured: measuredOf(read),
  segments: [...segments],
  notSampled: [],
  notes: [],
});

export const evidenceOf = (shown: Shown, supplyRatio = 1): Evidence => ({
  seen: seenOf(shown),
  trippedIn: shown.tripsIn,
  supplyRatio,
  unsampled: new Set(),
});

/** One in a hundred drops out, either way. */
export const hypothesis = (id: string, more: Partial<Hypothesis> = {}): Hypothesis => ({
  ...nothingWrong,
  id,
  cause: `${id} is so`,
  sentence: `${id} is so.`,
  nextProbe: `Look at ${id}.`,
  prior: 1,
  ...more,
});

export const cause = (id: string, ways: readonly Shown[], more: Partial<Hypothesis> = {}): LibraryEntry => ({
  hypothesis: hypothesis(id, more),
  patterns: ways.map(patternOf),
  answers: {},
});

/** Nothing wrong first, three times as likely as a fault. */
export const libraryOf = (good: Shown, ...entries: readonly LibraryEntry[]): DiagnosisLibrary => ({
  ...{ kind: 'unit', profileId: 'any', unit: shipped('entry-step-relays'), supplyV: 13, notes: [] },
  entries: [{ hypothesis: nothingWrong, patterns: [patternOf(good)], answers: {} }, ...entries],
});
export { HEALTHY };

/** Readings of one unit share its tolerances and are counted as so much. */
export const SHARED = 0.75;
/** Student's density, four degrees of freedom: (1 + z^2 / 4)^(-5/2). */
export const student = (z: number): number => -2.5 * Math.log1p((z * z) / 4);
/** A number `off` from what a cause foretells, of this deviation, whose least is `floor`. */
export const numbered = (off: number, deviation: number, floor: number): number =>
  SHARED * (student(off / deviation) - Math.log(deviation / floor));
