// The readings of a run that prove a finding: what the finding foretells, this run shows, and a good unit does not.

import {
  fedStretchWords,
  kindOf,
  type Measured,
  type QuantityName,
  type Reading,
  readingOf,
  stretchWords,
} from '../measure/index.js';
import { briefly, capitalised, times } from '../tell/index.js';
import { KNOWN_BY } from './hypotheses.js';
import type { LibraryEntry, Pattern } from './library.js';
import { comparable, type Evidence, leastOf, supplyScale } from './likelihood.js';
import { rippleProof } from './ripple-evidence.js';

/** Least difference from a good unit, in what model and rig leave open, that proves anything. Choice of this program, no source. */
const TELLING = 4;
/** Most difference from what the finding foretells. */
const AGREES = 3;
const MOST_PROOFS = 2;

/** Up to two sentences, of different readings: first those that the fewest other faults would give. */
export function proofsOf(
  entry: LibraryEntry,
  good: Pattern,
  evidence: Evidence,
  others: readonly LibraryEntry[],
): string[] {
  const found = entry.patterns
    .flatMap((pattern) => telling(pattern, good, evidence))
    .map((one) => ({
      ...one,
      sharedBy: others.filter((other) => foretells(other, one.reading, evidence.supplyRatio)).length,
    }));
  const counted = countedProofs(entry, evidence.seen.measured);
  found.sort((a, b) => a.sharedBy - b.sharedBy || b.contrast - a.contrast);
  const taken: typeof found = [];
  for (const one of found) {
    if (counted.length + taken.length >= MOST_PROOFS) break;
    if (!taken.some(({ reading }) => provesLike(reading, one.reading))) taken.push(one);
  }
  return [...counted, ...taken.map(({ sentence }) => sentence)].slice(0, MOST_PROOFS);
}

/** What shows in counts, not in levels: uneven ripples, a current that is gone for moments. */
function countedProofs({ hypothesis }: LibraryEntry, measured: Measured): string[] {
  const { unevenRipple = 0, dropouts } = hypothesis;
  const ripples = unevenRipple > KNOWN_BY ? rippleProof(measured) : undefined;
  const lost = (chance: number, what: QuantityName, how: string): string[] =>
    chance > KNOWN_BY ? dropoutProof(measured, what, how) : [];
  return [
    ...(ripples === undefined ? [] : [ripples]),
    ...lost(dropouts.motor, 'dropoutsMotorSide', 'with the leads at their voltage'),
    ...lost(dropouts.harness, 'dropoutsHarnessSide', 'together with a lead'),
  ];
}

function dropoutProof(measured: Measured, what: QuantityName, how: string): string[] {
  const [most] = Object.values(measured)
    .filter((reading) => reading.what === what && reading.value > 0)
    .sort((a, b) => b.value - a.value);
  if (!most?.of) return [];
  return [
    `Current gone for moments, ${stretchWords(most.of)}: ${times(most.value)} ${how}, a good unit never.`,
  ];
}

interface Telling {
  reading: Reading;
  contrast: number;
  sentence: string;
}

/** Readings of one kind: motor and feed current, or the same lead in two throws, prove one thing twice. */
const provesLike = (a: Reading, b: Reading): boolean =>
  (kindOf(a).sameAs ?? a.what) === (kindOf(b).sameAs ?? b.what);

function telling(pattern: Pattern, good: Pattern, { seen, supplyRatio }: Evidence): Telling[] {
  return Object.entries(seen.measured).flatMap(([key, read]): Telling[] => {
    const least = leastOf(read);
    const [foretold, usual] = [pattern.measured[key], good.measured[key]];
    if (!least || !foretold || !usual || !read.of) return [];
    if (!comparable(read, seen.segments, pattern.segments)) return [];
    const scale = supplyScale(read, supplyRatio);
    const open = Math.hypot(least.floor, least.part * foretold.value * scale, read.standardUncertainty);
    const contrast = Math.abs(read.value - usual.value * scale) / open;
    if (!agrees(pattern, read, supplyRatio) || contrast < TELLING) return [];
    const what = `${capitalised(kindOf(read).words)}, ${fedStretchWords(read.of)}`;
    const sentence = `${what}: ${briefly(read.value, read.unit)}, a good unit ${briefly(usual.value * scale, read.unit)}.`;
    return [{ reading: read, contrast, sentence }];
  });
}

function agrees(pattern: Pattern, read: Reading, supplyRatio: number): boolean {
  const foretold = readingOf(pattern.measured, read.what, read.of);
  const least = leastOf(read);
  if (!foretold || !least) return false;
  const value = foretold.value * supplyScale(read, supplyRatio);
  const open = Math.hypot(least.floor, least.part * value, read.standardUncertainty);
  return Math.abs(read.value - value) <= AGREES * open;
}

const foretells = ({ patterns }: LibraryEntry, read: Reading, supplyRatio: number): boolean =>
  patterns.some((pattern) => agrees(pattern, read, supplyRatio));
