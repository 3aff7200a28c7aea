// Channels of one table that were read less often than its rows come: a logger that fills a slow column in every fiftieth row.
// That is no loss of samples.

import { itemAt, lastOf, sampleAt } from '../arrays/index.js';
import { capitalised, shortly } from '../tell/index.js';
import { type Capture, sampledChannels } from './capture.js';
import { CHANNEL, type Channel } from './channels.js';

/** Fewer readings than this part of the rows, evenly spread, make a slow channel. Choices of this program, no source. */
const MOST_PART = 0.5;
const LEAST_READINGS = 8;
/** Between two readings at most so many times as many rows as usual. */
const EVEN_WITHIN = 1.5;

/**
 * A supply that was read seldom is drawn straight from reading to reading: it moves slowly beside a motor. Of any other
 * channel the starts and edges lie between the readings, so it is left out, and told.
 */
export function withoutSeldom(
  timeS: Float64Array,
  channels: Capture['channels'],
  rows: number,
): { channels: Capture['channels']; notes: string[] } {
  const found = sampledChannels(channels).map(([channel, values]) => ({
    channel,
    values,
    at: slowReadings(values, rows),
  }));
  // Where all come seldom, the empty rows are those of something else.
  if (found.every(({ at }) => at.length > 0)) return { channels, notes: [] };
  const kept: Partial<Record<Channel, Float64Array>> = {};
  const notes: string[] = [];
  for (const { channel, values, at } of found) {
    if (at.length === 0) {
      kept[channel] = values;
      continue;
    }
    const { words } = CHANNEL[channel];
    const often = `${words} was read in ${at.length} of ${rows} rows only, ${shortly(rateOf(timeS, at))} times a second`;
    if (channel === 'supplyVoltageV') {
      kept[channel] = drawnThrough(timeS, values, at);
      notes.push(`${capitalised(often)}: in between it is drawn straight.`);
    } else
      notes.push(
        `${capitalised(often)}: too seldom beside the others, it was left out. Judge it by itself if need be.`,
      );
  }
  return { channels: kept, notes };
}

const readingsOf = (values: Float64Array): number[] => {
  const at: number[] = [];
  values.forEach((value, row) => {
    if (!Number.isNaN(value)) at.push(row);
  });
  return at;
};

/** Rows of a slow channel's readings; none of any other. */
function slowReadings(values: Float64Array, rows: number): number[] {
  const at = readingsOf(values);
  if (at.length < LEAST_READINGS || at.length > MOST_PART * rows) return [];
  const usual = (lastOf(at) - itemAt(at, 0)) / (at.length - 1);
  const most = usual * EVEN_WITHIN;
  // What stops short, or begins late, was lost.
  const isWhole = itemAt(at, 0) <= most && rows - 1 - lastOf(at) <= most;
  const isEven = at.every((row, n) => n === 0 || row - itemAt(at, n - 1) <= Math.max(usual + 1, most));
  return isWhole && isEven ? at : [];
}

const rateOf = (timeS: Float64Array, at: readonly number[]): number =>
  (at.length - 1) / (sampleAt(timeS, lastOf(at)) - sampleAt(timeS, itemAt(at, 0)));

/** Before its first reading as there, behind its last as there. */
function drawnThrough(timeS: Float64Array, values: Float64Array, at: readonly number[]): Float64Array {
  let next = 0;
  return timeS.map((atS, row) => {
    while (next < at.length && itemAt(at, next) < row) next++;
    const to = itemAt(at, Math.min(next, at.length - 1));
    const from = itemAt(at, Math.max(0, next - 1));
    const [fromS, toS] = [sampleAt(timeS, from), sampleAt(timeS, to)];
    const part = to > from ? Math.min(1, (atS - fromS) / (toS - fromS)) : 0;
    return sampleAt(values, from) + part * (sampleAt(values, to) - sampleAt(values, from));
  });
}
