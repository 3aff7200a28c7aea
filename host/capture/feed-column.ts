// The column `feed` of a capture file: read as text like any column that is not a number, then told apart here.

import { InputError, nearestName } from '../profile/index.js';
import { type Capture, FEEDS, type Feed } from './capture.js';
import { FEED_COLUMN } from './columns.js';

/**
 * The capture with its extra column `feed` as the feed; the capture itself when it has none. An empty cell keeps the
 * feed before it.
 * @throws InputError naming the row of the first word that is no feed.
 */
export function withFeedColumn(capture: Capture, file: string): Capture {
  const { extraColumns } = capture;
  const cells = extraColumns?.[FEED_COLUMN];
  if (!extraColumns || !cells) return capture;
  const feed = new Array<Feed>(cells.length);
  for (let i = 0; i < cells.length; i++) {
    const cell = cells[i]!.trim().toLowerCase();
    const word = FEEDS.find((known) => known === cell) ?? (cell === '' ? feed[i - 1] : undefined);
    if (word === undefined) {
      const near = nearestName(cell, FEEDS);
      throw new InputError({
        file,
        key: FEED_COLUMN,
        what:
          cell === '' ? 'the first feed is missing' : `'${cell.slice(0, 40)}' in sample ${i + 1} is no feed`,
        mend: near && cell !== '' ? `did you mean ${near}?` : `write ${FEEDS.join(', ')}`,
      });
    }
    feed[i] = word;
  }
  const { [FEED_COLUMN]: _taken, ...others } = extraColumns;
  const { extraColumns: _all, ...rest } = capture;
  return { ...rest, feed, ...(Object.keys(others).length === 0 ? {} : { extraColumns: others }) };
}
