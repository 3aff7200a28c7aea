// The stretches of a run and of the band that it is held against, paired by what they are: the lead-in with everything
// off, rests by the throw that they follow, throws by their turn. A capture that lacks some of the plan pairs the rest.

import type { Capture, Position } from '../../capture/index.js';
import { LEAD_IN_S } from '../../circuit/index.js';
import type { Segment } from '../../measure/index.js';
import type { ResolvedUnit } from '../../profile/index.js';

type Steps = ResolvedUnit['plan']['steps'];

export interface Stretch {
  position: Position;
  /** As measuring names it: `forward2`, `limitedForward`; rests `rest` and `limitedRest`, whatever their turn. */
  name: string;
  isLimited: boolean;
  /** With everything off, before the feed came on. */
  isLeadIn: boolean;
  /** Of a rest: the throw that it follows, none at the start. */
  behind?: string;
  fromS: number;
  toS: number;
  /** Of a capture: what measuring made of it. */
  segment?: Segment;
}

export interface Pair {
  planned: Stretch;
  seen: Stretch;
}

/** Stretches that both have, in the order of the plan. */
export function pairs(steps: Steps, segments: readonly Segment[], capture: Capture): Pair[] {
  const seen = seenStretches(segments, capture);
  return plannedStretches(steps).flatMap((planned) => {
    const found = seen.find((one) => keyOf(one) === keyOf(planned));
    return found ? [{ planned, seen: found }] : [];
  });
}

const keyOf = ({ name, behind, isLeadIn }: Stretch): string =>
  isLeadIn ? 'lead-in' : behind === undefined ? name : `${name} behind ${behind}`;

type Piece = Pick<Stretch, 'position' | 'isLimited' | 'fromS' | 'toS' | 'segment'>;

/** In the time of the band, its lead-in included. */
function plannedStretches(steps: Steps): Stretch[] {
  const pieces: Piece[] = [];
  let atS = LEAD_IN_S;
  for (const { position, feed, durationS } of steps) {
    const last = pieces.at(-1);
    // As measuring takes it: a feed that is off belongs to the feed before it.
    const isLimited = feed === 'off' ? last?.isLimited === true : feed === 'limited';
    if (last?.position === position && last.isLimited === isLimited) last.toS += durationS;
    else pieces.push({ position, isLimited, fromS: atS, toS: atS + durationS });
    atS += durationS;
  }
  return [leadIn(0, LEAD_IN_S), ...withRestsOf(pieces)];
}

function seenStretches(segments: readonly Segment[], { timeS, feed }: Capture): Stretch[] {
  const on = feed?.findIndex((word) => word !== 'off') ?? -1;
  const onS = on > 0 ? timeS[on]! : undefined;
  const pieces = segments.map(
    (segment): Piece => ({
      position: segment.position,
      isLimited: segment.limited === true,
      fromS: onS !== undefined && segment.fromS < onS ? onS : segment.fromS,
      toS: segment.toS,
      segment,
    }),
  );
  return [...(onS === undefined ? [] : [leadIn(timeS[0]!, onS)]), ...withRestsOf(pieces)];
}

const leadIn = (fromS: number, toS: number): Stretch => ({
  position: 'rest',
  name: 'leadIn',
  isLimited: false,
  isLeadIn: true,
  fromS,
  toS,
});

function withRestsOf(pieces: readonly Piece[]): Stretch[] {
  const counts = new Map<string, number>();
  let behind: string | undefined;
  return pieces.map((piece): Stretch => {
    const { position, isLimited } = piece;
    const word = isLimited ? `limited${position[0]!.toUpperCase()}${position.slice(1)}` : position;
    if (position === 'rest')
      return { ...piece, name: word, isLeadIn: false, ...(behind === undefined ? {} : { behind }) };
    const nth = (counts.get(word) ?? 0) + 1;
    counts.set(word, nth);
    behind = nth === 1 ? word : `${word}${nth}`;
    return { ...piece, name: behind, isLeadIn: false };
  });
}
