// The stretches of a run and of the band that it is held against, paired by what they are: the lead-in with everything
// off, rests by the throw that they follow, throws by their turn. A capture that lacks some of the plan pairs the rest.

import type { Capture, Position } from '../../capture/index.js';
import { isSameStretch, LEAD_IN, type RunStretch, type Segment, StretchCount } from '../../measure/index.js';
import { LEAD_IN_S, type ResolvedUnit } from '../../profile/index.js';

type Steps = ResolvedUnit['plan']['steps'];

export interface Stretch {
  of: RunStretch;
  fromS: number;
  toS: number;
}

export interface Pair {
  planned: Stretch;
  /** With what measuring made of it; a lead-in is no segment. */
  seen: Stretch & { segment?: Segment };
}

/** Stretches that both have, in the order of the plan. */
export function pairs(steps: Steps, segments: readonly Segment[], capture: Capture): Pair[] {
  const seen = seenStretches(segments, capture);
  return plannedStretches(steps).flatMap((planned) => {
    const found = seen.find(({ of }) => isSameStretch(of, planned.of));
    return found ? [{ planned, seen: found }] : [];
  });
}

/** In the time of the band, its lead-in included. */
function plannedStretches(steps: Steps): Stretch[] {
  const pieces: { position: Position; feed: 'limited' | 'full'; fromS: number; toS: number }[] = [];
  let atS = LEAD_IN_S;
  for (const { position, feed: set, durationS } of steps) {
    const last = pieces.at(-1);
    // As measuring takes it: a feed that is off belongs to the feed before it.
    const feed = set === 'off' ? (last?.feed ?? 'full') : set;
    if (last?.position === position && last.feed === feed) last.toS += durationS;
    else pieces.push({ position, feed, fromS: atS, toS: atS + durationS });
    atS += durationS;
  }
  const count = new StretchCount();
  return [
    { of: LEAD_IN, fromS: 0, toS: LEAD_IN_S },
    ...pieces.map(({ position, feed, fromS, toS }) => ({ of: count.next(feed, position), fromS, toS })),
  ];
}

function seenStretches(segments: readonly Segment[], { timeS, feed }: Capture): Pair['seen'][] {
  const on = feed?.findIndex((word) => word !== 'off') ?? -1;
  const onS = on > 0 ? timeS[on] : undefined;
  const fed = segments.map((segment) => {
    const { of, fromS, toS } = segment;
    return { of, fromS: Math.max(fromS, onS ?? fromS), toS, segment };
  });
  return onS === undefined ? fed : [{ of: LEAD_IN, fromS: timeS[0] ?? 0, toS: onS }, ...fed];
}
