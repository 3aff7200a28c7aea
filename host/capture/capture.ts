// What one run recorded: sampled channels on one time grid, with the position thrown at each sample.
// Signs: motor voltage = lead A minus lead B; motor current positive into lead A; forward = lead A positive.

import { known } from '../fields/index.js';
import { CHANNELS, type Channel } from './channels.js';
import type { Feed, Position } from './positions.js';

/** A stretch without samples: the channels named, or all when none are named. */
export interface Gap {
  fromS: number;
  toS: number;
  channels?: readonly Channel[];
  reason: string;
}

/**
 * All arrays share `timeS`'s length. A missing sample is NaN and its stretch stands in `gaps`;
 * a channel the instrument does not have is absent from `channels`.
 */
export interface Capture {
  /** Seconds from the start of the capture, strictly increasing; board time, not wall clock. */
  timeS: Float64Array;
  /** Commanded position at each sample. */
  position: Position[];
  /** False when the source did not tell positions: `position` then holds `rest` throughout and means nothing. */
  positionKnown?: boolean;
  /** Feed at each sample; absent when the source did not tell it: then it counts as full throughout. */
  feed?: readonly Feed[];
  /** The relay coils were fed through the rig's limiter all the while: no throw of it shows what a relay does. */
  coilFeed?: 'limited';
  channels: Partial<Record<Channel, Float64Array>>;
  gaps: Gap[];
  /** Nominal rate of the grid in samples per second; 0 when the grid is not uniform. */
  sampleRateHz: number;
  /** Plain sentences about what was done to the data (resampled, interpolated, cut off). */
  notes: string[];
  /**
   * Channels whose instrument marked readings as beyond its range: those samples stand at the outermost reading that it
   * gave, and are at least that.
   */
  beyondRange?: Partial<Record<Channel, { above?: number; below?: number }>>;
  /** One voltage was read across both leads: lead A and lead B hold its parts above and below zero, and where either stands is not known. */
  leadsByDifference?: true;
  /** An export of another instrument: what a rig's profile says of its readings is not known of them. */
  isForeign?: true;
  /** Columns of an imported file that have no meaning here; kept, never read. */
  extraColumns?: Record<string, string[]>;
}

/** The channels that were sampled, each with its samples, in the order of channels. */
export const sampledChannels = (channels: Capture['channels']): [Channel, Float64Array][] =>
  CHANNELS.flatMap((channel): [Channel, Float64Array][] => {
    const values = channels[channel];
    return values === undefined ? [] : [[channel, values]];
  });

/** Each channel that was sampled, put through `of`. */
export const mapChannels = (
  channels: Capture['channels'],
  of: (values: Float64Array, channel: Channel) => Float64Array,
): Capture['channels'] =>
  Object.fromEntries(sampledChannels(channels).map(([channel, values]) => [channel, of(values, channel)]));

/** The capture with other rows: each array of numbers and each of words put through its function. */
export function withRows(
  capture: Capture,
  numbers: (values: Float64Array) => Float64Array,
  words: <W extends string>(cells: readonly W[]) => W[],
  extras: (cells: readonly string[]) => string[] = words,
): Capture {
  const { feed, extraColumns } = capture;
  const columns = extraColumns && Object.entries(extraColumns).map(([name, cells]) => [name, extras(cells)]);
  return {
    ...capture,
    timeS: numbers(capture.timeS),
    position: words(capture.position),
    channels: mapChannels(capture.channels, numbers),
    notes: [...capture.notes],
    ...known({ feed: feed && words(feed), extraColumns: columns && Object.fromEntries(columns) }),
  };
}

/** The leads, of a capture that holds no more than the voltage between them. */
const untoldLeads = ({ leadsByDifference }: Pick<Capture, 'leadsByDifference'>): readonly Channel[] =>
  leadsByDifference ? ['leadAVoltageV', 'leadBVoltageV'] : [];

/** Channels whose readings each say something by themselves. */
export const toldChannels = (
  capture: Pick<Capture, 'channels' | 'leadsByDifference'>,
): Capture['channels'] =>
  capture.leadsByDifference ? withoutChannels(capture, untoldLeads(capture)).channels : capture.channels;

export const absentChannels = (capture: Pick<Capture, 'channels' | 'leadsByDifference'>): Channel[] =>
  CHANNELS.filter(
    (channel) => capture.channels[channel] === undefined || untoldLeads(capture).includes(channel),
  );

/** As if the instrument did not have those channels. */
export const withoutChannels = <C extends Pick<Capture, 'channels'>>(
  capture: C,
  channels: readonly Channel[],
): C => ({
  ...capture,
  channels: Object.fromEntries(
    sampledChannels(capture.channels).filter(([channel]) => !channels.includes(channel)),
  ),
});
