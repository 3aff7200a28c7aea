// Which hypotheses these readings cannot tell apart, and which faults a plan cannot show at all.

import type { MeasureResult } from '../measure/index.js';
import { HEALTHY } from './another-motor.js';
import type { DiagnosisLibrary, LibraryEntry, Pattern } from './library.js';
import { type Evidence, logLikelihood, type Spread } from './likelihood.js';
import { SAME_WITHIN } from './ranking.js';

/** Chance of a dropout from which a condition is one that comes and goes. */
const COMES_AND_GOES = 0.1;

/** `entry` in the way to show that explains this run best: how else it might have shown parts it from nothing here. */
export function shownBy(entry: LibraryEntry, evidence: Evidence, spread: Spread): LibraryEntry {
  const scores = entry.patterns.map((pattern) => logLikelihood(evidence, entry.hypothesis, pattern, spread));
  const best = scores.indexOf(Math.max(...scores));
  return { ...entry, patterns: entry.patterns.slice(best, best + 1) };
}

/** Whether the ideal readings of one would be taken for the other, both ways round. */
export function sameReadings(
  a: LibraryEntry,
  b: LibraryEntry,
  spread: Spread,
  onlyLimited: boolean,
): boolean {
  // The good unit is never folded into a fault, nor a fault into it.
  if (a.hypothesis.id === HEALTHY || b.hypothesis.id === HEALTHY) return false;
  if (a.hypothesis.group !== undefined && a.hypothesis.group === b.hypothesis.group) return true;
  if (Math.abs(a.hypothesis.dropouts.motor - b.hypothesis.dropouts.motor) > 0.5) return false;
  if (Math.abs(a.hypothesis.dropouts.harness - b.hypothesis.dropouts.harness) > 0.5) return false;
  return mistakenFor(a, b, spread, onlyLimited) && mistakenFor(b, a, spread, onlyLimited);
}

function mistakenFor(
  truth: LibraryEntry,
  taken: LibraryEntry,
  spread: Spread,
  onlyLimited: boolean,
): boolean {
  return truth.patterns.every((pattern) => {
    const ideal: Evidence = {
      seen: onlyLimited ? limitedPart(pattern) : { ...pattern, notSampled: [], notes: [] },
      trippedIn: pattern.tripsIn,
      supplyRatio: 1,
    };
    const own = Math.max(...truth.patterns.map((p) => logLikelihood(ideal, truth.hypothesis, p, spread)));
    const other = Math.max(...taken.patterns.map((p) => logLikelihood(ideal, taken.hypothesis, p, spread)));
    return own - other < SAME_WITHIN;
  });
}

/** What a run that was kept from the full feed would have shown of it. */
const limitedPart = ({ measured, segments }: Pattern): MeasureResult => ({
  measured: Object.fromEntries(Object.entries(measured).filter(([, { of }]) => of?.feed === 'limited')),
  segments: segments.filter(({ of }) => of.feed === 'limited'),
  notSampled: [],
  notes: [],
});

const notShown = new WeakMap<DiagnosisLibrary, ReadonlySet<string>>();

/** Of harness and rig, the faults that no run of this plan speaks for. What a motor's condition reads another motor may read too: those are told side by side. */
export function unseenOf(library: DiagnosisLibrary): ReadonlySet<string> {
  const found =
    notShown.get(library) ?? new Set(faultsNotShown(library, {}, ({ owner }) => owner !== 'motor'));
  notShown.set(library, found);
  return found;
}

/** Ids of the faults whose every reading under this plan is a good unit's: not exercised, or of no consequence. */
export function faultsNotShown(
  library: DiagnosisLibrary,
  spread: Spread,
  isAsked: (hypothesis: LibraryEntry['hypothesis']) => boolean = () => true,
): string[] {
  const good = library.entries.find(({ hypothesis }) => hypothesis.id === HEALTHY);
  if (!good) return [];
  return (
    library.entries
      .filter((entry) => entry !== good && isAsked(entry.hypothesis))
      .filter((entry) => mistakenFor(entry, good, spread, false))
      // What comes and goes shows in dropouts, which no ideal run has.
      .filter(({ hypothesis: { dropouts } }) => Math.max(dropouts.motor, dropouts.harness) < COMES_AND_GOES)
      .map(({ hypothesis }) => hypothesis.id)
  );
}
