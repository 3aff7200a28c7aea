// Stretches of missing samples (NaN) in channels, as gaps.

import { itemAt, lastOf, sampleAt } from '../arrays/index.js';
import { type Gap, sampledChannels } from './capture.js';
import type { Channel } from './channels.js';

/** More stretches than this in one channel are told as one from the first to the last. */
const MOST_GAPS = 1000;

interface Stretch {
  from: number;
  /** First index after it. */
  to: number;
  reason: string;
}

/**
 * Gaps for every run of NaN; stretches that several channels share become one gap, without `channels` when all share
 * it. A gap reaches from its first missing sample to the next present one, or one step past the end.
 */
export function missingStretches(
  timeS: Float64Array,
  channels: Partial<Record<Channel, Float64Array>>,
  reason: string,
): Gap[] {
  const present = sampledChannels(channels);
  const shared = new Map<string, { stretch: Stretch; channels: Channel[] }>();
  for (const [name, values] of present) {
    for (const stretch of stretchesOf(values, reason)) {
      const key = `${stretch.from} ${stretch.to} ${stretch.reason}`;
      const entry = shared.get(key);
      if (entry) entry.channels.push(name);
      else shared.set(key, { stretch, channels: [name] });
    }
  }
  const last = timeS.length - 1;
  const stepS = last > 0 ? (sampleAt(timeS, last) - sampleAt(timeS, 0)) / last : 0;
  return [...shared.values()]
    .sort((a, b) => a.stretch.from - b.stretch.from)
    .map(({ stretch, channels: missing }) => ({
      fromS: sampleAt(timeS, stretch.from),
      toS: stretch.to <= last ? sampleAt(timeS, stretch.to) : sampleAt(timeS, last) + stepS,
      ...(missing.length === present.length ? {} : { channels: missing }),
      reason: stretch.reason,
    }));
}

function stretchesOf(values: Float64Array, reason: string): Stretch[] {
  const found: Stretch[] = [];
  let from = -1;
  for (let i = 0; i <= values.length; i++) {
    const isMissing = i < values.length && Number.isNaN(values[i]);
    if (isMissing && from < 0) from = i;
    if (!isMissing && from >= 0) {
      found.push({ from, to: i, reason });
      from = -1;
    }
  }
  if (found.length <= MOST_GAPS) return found;
  return [
    { from: itemAt(found, 0).from, to: lastOf(found).to, reason: `${reason}, in ${found.length} stretches` },
  ];
}
