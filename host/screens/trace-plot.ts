// One trace against its expected band, drawn in rows of characters: each cell holds two levels (half blocks), or one
// where the terminal has plain ASCII only. Pure; colour is a tone beside the characters, never the only sign.

import { sampleAt } from '../arrays/index.js';
import type { ExpectedBand } from '../bench/index.js';
import type { Channel } from '../capture/index.js';
import type { Tone } from './theme.js';
import type { Series } from './trace-store.js';

export interface PlotRequest {
  columns: number;
  rows: number;
  fromS: number;
  toS: number;
  series: Series;
  band?: { timeS: Float64Array; lower: Float64Array; upper: Float64Array };
  unicode: boolean;
  /** A short kick of a switched coil or motor may run out of the picture rather than flatten all the rest. */
  clipsKicks?: boolean;
}

/** Of all that is expected, what stands behind one channel's trace; none where nothing is. */
export function bandBehind(band: ExpectedBand | undefined, channel: Channel): Pick<PlotRequest, 'band'> {
  const lower = band?.lower[channel];
  const upper = band?.upper[channel];
  return band && lower && upper ? { band: { timeS: band.timeS, lower, upper } } : {};
}

/** Neighbouring cells of one tone. */
export interface PlotRun {
  text: string;
  tone: Tone;
}

export interface Plot {
  rows: PlotRun[][];
  /** Values at the lower and upper edge. */
  low: number;
  high: number;
}

interface Span {
  low: number;
  high: number;
}

const SIGNS = {
  unicode: { both: '█', upper: '▀', lower: '▄', band: '░', zero: '─' },
  ascii: { both: '#', upper: '#', lower: '#', band: ':', zero: '-' },
};

/** Kicks last a few milliseconds, some columns of a plan of seconds; worth clipping when the rest gains this much. */
const KICK_SHARE = 0.06;
const KICK_GAIN = 0.7;

/** Samples that are NaN leave their column empty, so that a gap looks like one. */
export function tracePlot(request: PlotRequest): Plot {
  const { columns, rows, series, band } = request;
  const trace = binned(series.timeS, series.value, series.value, request, true);
  const expected = band ? binned(band.timeS, band.lower, band.upper, request, false) : [];
  const spans = [...trace, ...expected].filter((span) => span !== undefined);
  const { low, high } = edges(request.clipsKicks ? withoutKicks(spans) : spans);
  const levels = rows * 2;
  const levelHeight = (high - low) / levels;
  const shift = zeroShift(low, high, levelHeight);
  const levelOf = (value: number): number =>
    Math.min(levels - 1, Math.max(0, Math.floor((value - low) / levelHeight + shift)));
  const zeroLevel = levelOf(0);
  const signs = SIGNS[request.unicode ? 'unicode' : 'ascii'];

  const cell = (row: number, column: number): { sign: string; tone: Tone } => {
    const lowerLevel = levels - 2 - 2 * row;
    const covers = (span: Span | undefined, level: number): boolean =>
      span !== undefined && levelOf(span.low) <= level && level <= levelOf(span.high);
    const seen = trace[column];
    const upper = covers(seen, lowerLevel + 1);
    const lower = covers(seen, lowerLevel);
    if (seen && (upper || lower)) {
      const sign = upper && lower ? signs.both : upper ? signs.upper : signs.lower;
      return { sign, tone: outside(seen, expected, column, levelHeight) ? 'bad' : 'trace' };
    }
    if (covers(expected[column], lowerLevel) || covers(expected[column], lowerLevel + 1)) {
      return { sign: signs.band, tone: 'quiet' };
    }
    const isZero = zeroLevel === lowerLevel || zeroLevel === lowerLevel + 1;
    return isZero ? { sign: signs.zero, tone: 'quiet' } : { sign: ' ', tone: 'plain' };
  };

  return {
    low,
    high,
    rows: Array.from({ length: rows }, (_, row) =>
      runsOf(Array.from({ length: columns }, (_, column) => cell(row, column))),
    ),
  };
}

/** Half a level where zero would lie on the border of two: noise about zero would jump between them. */
function zeroShift(low: number, high: number, levelHeight: number): number {
  const zero = -low / levelHeight;
  return low < 0 && high > 0 && Math.abs(zero - Math.round(zero)) < 0.15 ? 0.5 : 0;
}

/** Whether a column's trace leaves the band of its neighbourhood by more than one level of the drawing. */
function outside(seen: Span, expected: (Span | undefined)[], column: number, levelHeight: number): boolean {
  const near = [expected[column - 1], expected[column], expected[column + 1]].filter(
    (span) => span !== undefined,
  );
  if (near.length === 0) return false;
  const low = Math.min(...near.map((span) => span.low)) - levelHeight;
  const high = Math.max(...near.map((span) => span.high)) + levelHeight;
  return seen.low < low || seen.high > high;
}

/** Lowest and highest value of each column. `joined` carries the last value over, so that steep edges stay a line. */
function binned(
  timeS: Float64Array,
  lower: Float64Array,
  upper: Float64Array,
  { columns, fromS, toS }: PlotRequest,
  joined: boolean,
): (Span | undefined)[] {
  const spans: (Span | undefined)[] = new Array(columns).fill(undefined);
  let lastColumn = -1;
  let last = Number.NaN;
  for (let i = 0; i < timeS.length; i++) {
    const column = Math.min(
      columns - 1,
      Math.floor(((sampleAt(timeS, i) - fromS) / (toS - fromS)) * columns),
    );
    if (column < 0) continue;
    const low = sampleAt(lower, i);
    const high = sampleAt(upper, i);
    if (!Number.isNaN(low) && !Number.isNaN(high)) {
      const carry = joined && column === lastColumn + 1 && !Number.isNaN(last);
      const span = spans[column] ?? (carry ? { low: last, high: last } : { low, high });
      spans[column] = span;
      span.low = Math.min(span.low, low);
      span.high = Math.max(span.high, high);
      lastColumn = column;
    }
    last = low;
  }
  return spans;
}

/** Drops the few lowest columns when without them the picture is much less tall. */
function withoutKicks(spans: readonly Span[]): readonly Span[] {
  const few = Math.ceil(spans.length * KICK_SHARE);
  const byDepth = [...spans].sort((a, b) => a.low - b.low);
  const rest = byDepth.slice(few);
  const [[lowest], [lowestLeft]] = [byDepth, rest];
  if (lowest === undefined || lowestLeft === undefined) return spans;
  const high = Math.max(...spans.map((span) => span.high));
  return high - lowestLeft.low < KICK_GAIN * (high - lowest.low) ? rest : spans;
}

/** Edges that hold zero and everything seen, rounded outward to 1, 2 or 5 of a decade. */
function edges(spans: readonly Span[]): Span {
  let low = 0;
  let high = 0;
  for (const span of spans) {
    low = Math.min(low, span.low);
    high = Math.max(high, span.high);
  }
  if (high - low < 1) high = low + 1;
  const step = niceStep((high - low) / 10);
  return { low: Math.floor(low / step) * step, high: Math.ceil(high / step) * step };
}

function niceStep(rough: number): number {
  const decade = 10 ** Math.floor(Math.log10(rough));
  return ([1, 2, 5, 10].find((factor) => factor * decade >= rough) ?? 10) * decade;
}

function runsOf(cells: { sign: string; tone: Tone }[]): PlotRun[] {
  const runs: PlotRun[] = [];
  for (const { sign, tone } of cells) {
    const last = runs.at(-1);
    if (last && last.tone === tone) last.text += sign;
    else runs.push({ text: sign, tone });
  }
  return runs;
}
