// A fault that sets in during the run: a contact that welds in a throw, a joint that opens when warm, a relay that drops
// out by itself. What it reads is the good unit's up to there and the fault's behind it; no circuit is solved for it.

import { fedStretchWords, isFullThrow, QUANTITIES, type Reading, type RunStretch } from '../measure/index.js';
import { withoutStop } from '../tell/index.js';
import type { LibraryEntry, Pattern } from './library.js';
import { maySetIn } from './sets-in-runs.js';

/** Of all faults of such a kind, those that were not there from the first throw on. Common practice, no source. */
export const SETS_IN_PART = 0.15;

/** `entry` with each throw in which it may have set in, while the throw was held and as it was let go. */
export function settingIn(entry: LibraryEntry, good: Pattern | undefined): LibraryEntry {
  const [own] = entry.patterns;
  // Read from the current alone, each way to set in is a run of its own (sets-in-runs.ts).
  if (!good || !own || own.isUntold || entry.patterns.length !== 1 || !maySetIn(entry.hypothesis))
    return entry;
  const order = good.segments.map(({ of }) => of.id);
  const ended = own.tripsIn === undefined ? order.length : order.indexOf(own.tripsIn);
  // What a run showed that a stop cut short says nothing of a later throw.
  const throws = good.segments.flatMap(({ of }, at) => (isFullThrow(of) && at < ended ? [of] : []));
  const later = throws.flatMap((since) => {
    // A fault that leaves the throw nothing to release cannot have begun with the release.
    const shows = own.segments.some(({ of, release }) => of.id === since.id && release !== undefined);
    return (shows ? [true, false] : [true]).map((isHeld) => spliced(good, own, { since, isHeld }));
  });
  return { ...entry, patterns: [own, ...later] };
}

/** Of the pattern that an entry is shown by: with the words for when it set in. */
export function toldSince(entry: LibraryEntry): LibraryEntry {
  const since = entry.patterns[0]?.since;
  if (since === undefined) return entry;
  const { hypothesis } = entry;
  const sentence = `${withoutStop(hypothesis.sentence)}, but only from ${sinceWords(since)} on.`;
  return { ...entry, hypothesis: { ...hypothesis, sentence } };
}

const ORDINALS = ['first', 'second', 'third', 'fourth', 'fifth', 'sixth'];

/** `the forward throw`; of one that was made more than once `the second forward throw`. */
const sinceWords = (since: RunStretch): string =>
  since.nth === 1
    ? `the ${fedStretchWords(since)} throw`
    : `the ${ORDINALS[since.nth - 1] ?? `${since.nth}th`} ${since.position} throw`;

/** @param isHeld whether it set in while the throw was held, its start behind it, else as it was let go */
function spliced(
  good: Pattern,
  own: Pattern,
  { since, isHeld }: { since: RunStretch; isHeld: boolean },
): Pattern {
  const order = new Map(good.segments.map(({ of }, i) => [of.id, i]));
  const at = order.get(since.id) ?? 0;
  const isLater = ({ id }: RunStretch): boolean => (order.get(id) ?? Number.POSITIVE_INFINITY) > at;
  const isFaults = ({ what, of }: Pick<Reading, 'what' | 'of'>): boolean => {
    if (of === undefined) return true;
    if (of.id !== since.id) return isLater(of);
    const { group } = QUANTITIES[what];
    return group === 'release' || (isHeld && group !== 'start');
  };
  const segments = good.segments.flatMap((segment) => {
    const other = own.segments.find(({ of }) => of.id === segment.of.id);
    if (isLater(segment.of)) return other ? [other] : [];
    if (segment.of.id !== since.id) return [segment];
    const { release: _, ...held } = segment;
    return [other?.release === undefined ? held : { ...held, release: other.release }];
  });
  return {
    measured: Object.fromEntries([
      ...Object.entries(good.measured).filter(([, reading]) => !isFaults(reading)),
      ...Object.entries(own.measured).filter(([, reading]) => isFaults(reading)),
    ]),
    segments,
    tripsIn: own.tripsIn,
    since,
  };
}
