// Which hypotheses these readings cannot tell apart, and which faults a plan cannot show at all.

import type { MeasureResult, QuantityName, Reading, RunStretch } from '../measure/index.js';
import { KNOWN_BY } from './hypotheses.js';
import type { DiagnosisLibrary, LibraryEntry, Pattern } from './library.js';
import { type Evidence, logLikelihood, type Spread } from './likelihood.js';
import { HEALTHY } from './nothing-wrong.js';
import { SAME_WITHIN } from './ranking.js';

/** `entry` in the way to show that explains this run best: how else it might have shown parts it from nothing here. */
export function shownBy(entry: LibraryEntry, evidence: Evidence, spread: Spread): LibraryEntry {
  const scores = entry.patterns.map((pattern) => logLikelihood(evidence, entry.hypothesis, pattern, spread));
  const best = scores.indexOf(Math.max(...scores));
  return { ...entry, patterns: entry.patterns.slice(best, best + 1) };
}

/** Whether the ideal readings of one would be taken for the other, both ways round. */
export function sameReadings(a: LibraryEntry, b: LibraryEntry, spread: Spread, part: SeenPart): boolean {
  // The good unit is never folded into a fault, nor a fault into it.
  if (a.hypothesis.id === HEALTHY || b.hypothesis.id === HEALTHY) return false;
  if (a.hypothesis.group !== undefined && a.hypothesis.group === b.hypothesis.group) return true;
  if (Math.abs(a.hypothesis.dropouts.motor - b.hypothesis.dropouts.motor) > 0.5) return false;
  if (Math.abs(a.hypothesis.dropouts.harness - b.hypothesis.dropouts.harness) > 0.5) return false;
  return mistakenFor(a, b, spread, part) && mistakenFor(b, a, spread, part);
}

/** What of an ideal run this run would have shown. */
export interface SeenPart {
  /** It was kept from the full feed. */
  onlyLimited: boolean;
  unsampled: ReadonlySet<QuantityName>;
  notSampled: MeasureResult['notSampled'];
  /** Ids of the throws that were made and of the rests that were seen; absent where the plan was run to its end. */
  made?: ReadonlySet<string>;
}
const WHOLE: SeenPart = { onlyLimited: false, unsampled: new Set(), notSampled: [] };

function mistakenFor(truth: LibraryEntry, taken: LibraryEntry, spread: Spread, part: SeenPart): boolean {
  return truth.patterns.every((pattern) => {
    const ideal: Evidence = {
      seen: partOf(pattern, part),
      trippedIn: pattern.tripsIn,
      supplyRatio: 1,
      unsampled: part.unsampled,
    };
    const own = Math.max(...truth.patterns.map((p) => logLikelihood(ideal, truth.hypothesis, p, spread)));
    const other = Math.max(...taken.patterns.map((p) => logLikelihood(ideal, taken.hypothesis, p, spread)));
    return own - other < SAME_WITHIN;
  });
}

function partOf(
  { measured, segments }: Pattern,
  { onlyLimited, unsampled, notSampled, made }: SeenPart,
): MeasureResult {
  const wasMade = (of: RunStretch): boolean => made?.has(of.id) ?? true;
  // What compares both ways takes both.
  const isSeen = ({ what, of }: Reading): boolean =>
    !unsampled.has(what) &&
    (!onlyLimited || of?.feed === 'limited') &&
    (of ? wasMade(of) : made === undefined);
  return {
    measured: Object.fromEntries(Object.entries(measured).filter(([, reading]) => isSeen(reading))),
    segments: segments
      .filter(({ of }) => (!onlyLimited || of.feed === 'limited') && wasMade(of))
      .map(({ release, ...segment }) =>
        unsampled.has('releaseLeadAVoltageV') || release === undefined ? segment : { ...segment, release },
      ),
    notSampled,
    notes: [],
  };
}

const notShown = new WeakMap<DiagnosisLibrary, ReadonlySet<string>>();

/** Of harness and rig, the faults that no run of this plan speaks for. What a motor's condition reads another motor may read too: those are told side by side. */
export function unseenOf(
  library: DiagnosisLibrary,
  sampled: Pick<SeenPart, 'unsampled' | 'notSampled' | 'made'>,
): ReadonlySet<string> {
  const part = { ...WHOLE, ...sampled };
  const find = (): ReadonlySet<string> =>
    new Set(faultsNotShown(library, {}, { part, isAsked: ({ owner }) => owner !== 'motor' }));
  if (sampled.unsampled.size > 0 || sampled.made) return find();
  const found = notShown.get(library) ?? find();
  notShown.set(library, found);
  return found;
}

/** Ids of the faults whose every reading under this plan is a good unit's: not exercised, or of no consequence. */
export function faultsNotShown(
  library: DiagnosisLibrary,
  spread: Spread,
  {
    part = WHOLE,
    isAsked = () => true,
  }: { part?: SeenPart; isAsked?: (hypothesis: LibraryEntry['hypothesis']) => boolean } = {},
): string[] {
  const good = library.entries.find(({ hypothesis }) => hypothesis.id === HEALTHY);
  if (!good) return [];
  return (
    library.entries
      .filter((entry) => entry !== good && isAsked(entry.hypothesis))
      .filter((entry) => mistakenFor(entry, good, spread, part))
      // What comes and goes shows in dropouts, which no ideal run has.
      .filter(({ hypothesis: { dropouts } }) => Math.max(dropouts.motor, dropouts.harness) < KNOWN_BY)
      .map(({ hypothesis }) => hypothesis.id)
  );
}
