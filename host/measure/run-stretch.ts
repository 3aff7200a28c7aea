// The stretches of a run, told apart by what they are: which feed, which position, which one of several, and of a rest
// what came before it. The id names segments, and is the stem of the keys in JSON and in the record.

import { type Feed, POSITIONS, type Position } from '../capture/index.js';
import { capitalised } from '../tell/index.js';

export interface RunStretch {
  /** Made here and nowhere else: `rest`, `forward2`, `limitedReverse`; `zero` with everything off. Permanent. */
  readonly id: string;
  /** `off` is the lead-in before the feed comes on. */
  readonly feed: Feed;
  readonly position: Position;
  /** From 1, among those of the same feed and position. */
  readonly nth: number;
  /** Of a rest: the throw that it follows; absent before the first. */
  readonly behind?: RunStretch;
  /** Of a throw that was seen in a current without sign alone: it counts as forward, and may be either. */
  readonly isWayUntold?: true;
}

/** @param behind of a rest, the throw that it follows */
export function runStretch(
  feed: Feed,
  position: Position,
  {
    nth = 1,
    behind,
    isWayUntold,
  }: { nth?: number; behind?: RunStretch | undefined; isWayUntold?: boolean | undefined } = {},
): RunStretch {
  const word = feed === 'full' ? position : feed === 'off' ? 'zero' : `limited${capitalised(position)}`;
  const id = nth === 1 ? word : `${word}${nth}`;
  return {
    id,
    feed,
    position,
    nth,
    ...(behind === undefined ? {} : { behind }),
    ...(isWayUntold ? { isWayUntold } : {}),
  };
}

/** Every stretch that a run may have, up to the `most`-th of its kind. */
export const allStretches = (most: number): RunStretch[] => [
  LEAD_IN,
  ...(['limited', 'full'] as const).flatMap((feed) =>
    POSITIONS.flatMap((position) =>
      Array.from({ length: most }, (_, i) => runStretch(feed, position, { nth: i + 1 })),
    ),
  ),
];

/** With everything off, before the feed comes on. */
export const LEAD_IN = runStretch('off', 'rest');
/** At rest with the full feed, before the first throw. */
export const REST = runStretch('full', 'rest');
export const LIMITED_REST = runStretch('limited', 'rest');

export const isThrow = ({ position }: RunStretch): boolean => position !== 'rest';
export const isFullThrow = ({ feed, position }: RunStretch): boolean =>
  feed === 'full' && position !== 'rest';

/** Numbers the stretches of one run as they come. */
export class StretchCount {
  readonly #counts = new Map<string, number>();
  #behind: RunStretch | undefined;

  next(feed: 'limited' | 'full', position: Position, isWayUntold = false): RunStretch {
    const word = `${feed} ${position}`;
    const nth = (this.#counts.get(word) ?? 0) + 1;
    this.#counts.set(word, nth);
    const stretch = runStretch(feed, position, {
      nth,
      behind: position === 'rest' ? this.#behind : undefined,
      isWayUntold: isWayUntold && position !== 'rest',
    });
    if (position !== 'rest') this.#behind = stretch;
    return stretch;
  }

  /** How many there were so far. */
  of(feed: 'limited' | 'full', position: Position): number {
    return this.#counts.get(`${feed} ${position}`) ?? 0;
  }
}

export const DIRECTION_NOT_TOLD = 'direction not told';

/** Whether two runs' stretches are the same: throws by their turn, rests by what they follow. */
export const isSameStretch = (a: RunStretch, b: RunStretch): boolean =>
  a.feed === b.feed &&
  a.position === b.position &&
  (a.position === 'rest' ? a.behind?.id === b.behind?.id : a.nth === b.nth);

/** As a person says it in a sentence: `forward`, `reverse, throw 2`, `at rest`, `throw 2 (direction not told)`. */
export function stretchWords({ position, nth, isWayUntold }: RunStretch): string {
  if (position === 'rest') return 'at rest';
  if (isWayUntold) return `throw ${nth} (${DIRECTION_NOT_TOLD})`;
  return nth === 1 ? position : `${position}, throw ${nth}`;
}

/** The same with what feeds it: `forward (limited feed)`. */
export const fedStretchWords = (stretch: RunStretch): string =>
  stretch.feed === 'off'
    ? 'with everything off'
    : `${stretchWords(stretch)}${stretch.feed === 'limited' ? ' (limited feed)' : ''}`;

/** Start of a sentence: `Forward`, `Reverse, throw 2`. */
export const atStart = (stretch: RunStretch): string => capitalised(stretchWords(stretch));
