// The readings of a run that prove a finding: what the finding foretells, this run shows, and a good unit does not.

import type { Measured } from '../measure/index.js';
import { ruleFor } from './features.js';
import type { LibraryEntry, Pattern } from './library.js';
import { comparable, type Evidence, supplyScale } from './likelihood.js';
import { readingText, readingWords } from './reading-words.js';
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
      sharedBy: others.filter((other) => foretells(other, one.name, evidence)).length,
    }));
  const counted = countedProofs(entry, evidence.seen.measured);
  found.sort((a, b) => a.sharedBy - b.sharedBy || b.contrast - a.contrast);
  const taken: typeof found = [];
  for (const one of found) {
    if (counted.length + taken.length >= MOST_PROOFS) break;
    // Motor and feed current, or the same lead in two throws, prove one thing twice.
    if (!taken.some(({ kind }) => kind === one.kind)) taken.push(one);
  }
  return [...counted, ...taken.map(({ sentence }) => sentence)].slice(0, MOST_PROOFS);
}

/** Chance from which a cause is known by what it does now and then. */
const KNOWN_BY = 0.1;

/** What shows in counts, not in levels: uneven ripples, a current that is gone for moments. */
function countedProofs({ hypothesis }: LibraryEntry, measured: Measured): string[] {
  const { unevenRipple = 0, dropouts } = hypothesis;
  const ripples = unevenRipple > KNOWN_BY ? rippleProof(measured) : undefined;
  return [
    ...(ripples === undefined ? [] : [ripples]),
    ...(dropouts.motor > KNOWN_BY
      ? dropoutProof(measured, 'MotorSide', 'with the leads at their voltage')
      : []),
    ...(dropouts.harness > KNOWN_BY ? dropoutProof(measured, 'HarnessSide', 'together with a lead') : []),
  ];
}

function dropoutProof(measured: Measured, side: string, how: string): string[] {
  const [most] = Object.entries(measured)
    .filter(([name, { value }]) => name.endsWith(`Dropouts${side}`) && value > 0)
    .sort(([, a], [, b]) => b.value - a.value);
  if (!most) return [];
  const [name, { value }] = most;
  const way = name.replace(/Dropouts.*$/, '').replace(/(\d+)$/, ', throw $1');
  return [
    `Current gone for moments, ${way}: ${value} ${value === 1 ? 'time' : 'times'} ${how}, a good unit never.`,
  ];
}

interface Telling {
  name: string;
  kind: string;
  contrast: number;
  sentence: string;
}

function telling(pattern: Pattern, good: Pattern, { seen, supplyRatio }: Evidence): Telling[] {
  return Object.entries(seen.measured).flatMap(([name, read]): Telling[] => {
    const rule = ruleFor(name);
    const [foretold, usual] = [pattern.measured[name], good.measured[name]];
    const words = readingWords(name);
    if (!rule || !foretold || !usual || !words) return [];
    if (!comparable(name, seen.segments, pattern.segments)) return [];
    const scale = supplyScale(name, supplyRatio);
    const open = Math.hypot(rule.floor, rule.part * foretold.value * scale, read.standardUncertainty);
    const contrast = Math.abs(read.value - usual.value * scale) / open;
    if (!agrees(pattern, name, { seen, supplyRatio }) || contrast < TELLING) return [];
    const sentence = `${words.what}: ${readingText(read.value, read.unit)}, a good unit ${readingText(usual.value * scale, read.unit)}.`;
    return [
      { name, kind: words.quantity.replace(/^(?:Motor|Feed) current$/, 'current'), contrast, sentence },
    ];
  });
}

function agrees(
  pattern: Pattern,
  name: string,
  { seen, supplyRatio }: Pick<Evidence, 'seen' | 'supplyRatio'>,
): boolean {
  const [read, foretold, rule] = [seen.measured[name], pattern.measured[name], ruleFor(name)];
  if (!read || !foretold || !rule) return false;
  const value = foretold.value * supplyScale(name, supplyRatio);
  return (
    Math.abs(read.value - value) <=
    AGREES * Math.hypot(rule.floor, rule.part * value, read.standardUncertainty)
  );
}

const foretells = (entry: LibraryEntry, name: string, evidence: Evidence): boolean =>
  entry.patterns.some((pattern) => agrees(pattern, name, evidence));
