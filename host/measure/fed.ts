// Which feed a stretch was driven through. What ran through the limited feed says nothing of running or inrush: it is
// named apart and only its levels are read.

import { itemAt } from '../arrays/index.js';
import type { Capture, Feed } from '../capture/index.js';
import { runsOf } from './runs.js';
import type { CommandedStretch } from './trace.js';

/**
 * True where the motor was fed through the limiter; undefined when it never was. A feed that is off belongs to the
 * feed before it (a stop, a pause), at the start to the one that follows (the lead-in).
 */
export function limitedSamples(feed: Capture['feed']): readonly boolean[] | undefined {
  if (!feed?.includes('limited')) return undefined;
  let now: Feed = feed.find((word) => word !== 'off') ?? 'full';
  return feed.map((word) => {
    if (word !== 'off') now = word;
    return now === 'limited';
  });
}

/** Cuts stretches where the feed changes and marks those that ran through the limiter. */
export function splitByFeed(
  stretches: readonly CommandedStretch[],
  limited: readonly boolean[] | undefined,
): CommandedStretch[] {
  if (!limited) return [...stretches];
  return stretches.flatMap(({ startUnseen, ...stretch }) =>
    runsOf(stretch.from, stretch.to, (i) => itemAt(limited, i)).map(({ key: isLimited, from, to }) => ({
      ...stretch,
      from,
      to,
      ...(isLimited ? { limited: true } : {}),
      // The throw was on already when the feed changed.
      ...(startUnseen || (from > stretch.from && stretch.position !== 'rest') ? { startUnseen: true } : {}),
    })),
  );
}
