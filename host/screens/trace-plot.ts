// One trace against its expected band, drawn in cells of dots: thin lines over quiet shading. Pure; colour is a tone
// beside the signs, never the only sign.

import { sampleAt } from '../arrays/index.js';
import type { ExpectedBand } from '../bench/index.js';
import type { Channel } from '../capture/index.js';
import { DOTS, type Dots } from './dots.js';
import type { Tone } from './theme.js';
import { niceStep, roundTicks } from './ticks.js';
import type { Series } from './trace-store.js';

export interface PlotRequest {
  columns: number;
  rows: number;
  fromS: number;
  toS: number;
  series: Series;
  band?: { timeS: Float64Array; lower: Float64Array; upper: Float64Array };
  unicode: boolean;
  /** Half blocks where it does not say; plain ASCII without Unicode. */
  dots?: Dots;
  /** A short kick of a switched coil or motor may run out of the picture rather than flatten all the rest. */
  clipsKicks?: boolean;
  /** An earlier run, drawn quietly under the trace. */
  under?: Series | undefined;
  /** Lines at plus and minus this much, where they are in sight. */
  tripAt?: number | undefined;
  /** The unit failed: the trace takes the colour of failure where it leaves the band. */
  marksOutside?: boolean;
  /** Edges already settled, as those of the picture beside it. */
  edges?: { low: number; high: number };
  cursorS?: number | undefined;
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
  /** Round values, the highest first, each with its row; no two in one row. */
  ticks: { row: number; value: number }[];
}

interface Span {
  low: number;
  high: number;
}

/** Kicks last a few milliseconds, some columns of a plan of seconds; worth clipping when the rest gains this much. */
const KICK_SHARE = 0.06;
const KICK_GAIN = 0.7;
/** Samples further apart leave a gap. The bench sends one a millisecond for the eye, a band is coarser. Choice of this program. */
const STANDS_S = 0.03;
/** A tick in every so many rows. */
const ROWS_A_TICK = 2;

/** Samples that are NaN leave their column empty, so that a gap looks like one. */
export function tracePlot(request: PlotRequest): Plot {
  const { columns, rows, series, band, under } = request;
  const kind = DOTS[request.unicode ? (request.dots ?? 'blocks') : 'ascii'];
  const binning = { ...request, columns: columns * kind.across };
  const trace = binned(series.timeS, series.value, series.value, binning, true);
  const earlier = under ? binned(under.timeS, under.value, under.value, binning, true) : [];
  const expected = band ? binned(band.timeS, band.lower, band.upper, binning, false) : [];
  const spans = [...trace, ...expected, ...earlier].filter((span) => span !== undefined);
  const { low, high } = request.edges ?? edges(request.clipsKicks ? withoutKicks(spans) : spans);
  const levels = rows * kind.down;
  const levelHeight = (high - low) / levels;
  const shift = zeroShift(low, high, levelHeight);
  const levelOf = (value: number): number =>
    Math.min(levels - 1, Math.max(0, Math.floor((value - low) / levelHeight + shift)));
  const rowOf = (value: number): number => rows - 1 - Math.floor(levelOf(value) / kind.down);

  const layers = [trace, earlier, expected].map((layer) => layer.map((span) => levelsOf(span, levelOf)));
  /** The dots of one cell that a layer covers. */
  const bitsOf = (layer: readonly (Span | undefined)[], row: number, column: number): number => {
    const topLevel = levels - 1 - row * kind.down;
    let bits = 0;
    for (let x = 0; x < kind.across; x++) {
      const span = layer[column * kind.across + x];
      if (span === undefined) continue;
      for (let y = 0; y < kind.down; y++)
        if (span.low <= topLevel - y && topLevel - y <= span.high) bits |= 1 << (x * kind.down + y);
    }
    return bits;
  };
  const zeroRow = rowOf(0);
  const { tripAt } = request;
  const tripRows = new Set(
    (tripAt === undefined ? [] : [tripAt, -tripAt]).filter((at) => low <= at && at <= high).map(rowOf),
  );
  const cursorColumn = columnAt(request);
  const isOutside = (column: number): boolean =>
    request.marksOutside === true &&
    Array.from({ length: kind.across }, (_, x) => column * kind.across + x).some((at) =>
      outside(trace[at], expected, at, levelHeight),
    );

  const [ofTrace = [], ofEarlier = [], ofBand = []] = layers;
  const cell = (row: number, column: number): { sign: string; tone: Tone } => {
    const seen = bitsOf(ofTrace, row, column);
    if (seen) return { sign: kind.sign(seen), tone: isOutside(column) ? 'bad' : 'trace' };
    if (column === cursorColumn) return { sign: kind.cursor, tone: 'plain' };
    const before = bitsOf(ofEarlier, row, column);
    if (before) return { sign: kind.sign(before), tone: 'under' };
    const good = bitsOf(ofBand, row, column);
    if (good) return { sign: kind.band(good, column), tone: 'quiet' };
    if (tripRows.has(row)) return { sign: kind.trip, tone: 'quiet' };
    return row === zeroRow ? { sign: kind.zero, tone: 'quiet' } : { sign: ' ', tone: 'plain' };
  };

  return {
    low,
    high,
    ticks: ticksOf({ low, high }, rows, rowOf),
    rows: Array.from({ length: rows }, (_, row) =>
      runsOf(Array.from({ length: columns }, (_, column) => cell(row, column))),
    ),
  };
}

const levelsOf = (span: Span | undefined, levelOf: (value: number) => number): Span | undefined =>
  span && { low: levelOf(span.low), high: levelOf(span.high) };

function columnAt({ cursorS, fromS, toS, columns }: PlotRequest): number {
  if (cursorS === undefined || cursorS < fromS || cursorS > toS) return -1;
  return Math.min(columns - 1, Math.floor(((cursorS - fromS) / (toS - fromS)) * columns));
}

function ticksOf({ low, high }: Span, rows: number, rowOf: (value: number) => number): Plot['ticks'] {
  const seen = new Set<number>();
  return roundTicks(low, high, Math.max(2, Math.floor(rows / ROWS_A_TICK) + 1))
    .reverse()
    .map((value) => ({ row: rowOf(value), value }))
    .filter(({ row }) => !seen.has(row) && seen.add(row));
}

/** Half a level where zero would lie on the border of two: noise about zero would jump between them. */
function zeroShift(low: number, high: number, levelHeight: number): number {
  const zero = -low / levelHeight;
  return low < 0 && high > 0 && Math.abs(zero - Math.round(zero)) < 0.15 ? 0.5 : 0;
}

/** Whether a column's trace leaves the band of its neighbourhood by more than one level of the drawing. */
function outside(
  seen: Span | undefined,
  expected: (Span | undefined)[],
  column: number,
  levelHeight: number,
): boolean {
  if (seen === undefined) return false;
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
  { columns, fromS, toS }: Pick<PlotRequest, 'columns' | 'fromS' | 'toS'>,
  joined: boolean,
): (Span | undefined)[] {
  const spans: (Span | undefined)[] = new Array(columns).fill(undefined);
  let lastColumn = -1;
  let last = Number.NaN;
  for (let i = 0; i < timeS.length; i++) {
    const atS = sampleAt(timeS, i);
    if (atS < fromS || atS > toS) continue;
    const at = Math.min(columns - 1, Math.floor(((atS - fromS) / (toS - fromS)) * columns));
    const low = sampleAt(lower, i);
    const high = sampleAt(upper, i);
    if (!Number.isNaN(low) && !Number.isNaN(high)) {
      // Where there are more columns than samples, a sample stands until the next.
      const isNext = lastColumn >= 0 && !Number.isNaN(last) && atS - sampleAt(timeS, i - 1) < STANDS_S;
      for (let between = lastColumn + 1; isNext && between < at; between++)
        spans[between] ??= { low: last, high: joined ? last : sampleAt(upper, i - 1) };
      const carry = joined && at === lastColumn + 1 && !Number.isNaN(last);
      const span = spans[at] ?? (carry ? { low: last, high: last } : { low, high });
      spans[at] = span;
      span.low = Math.min(span.low, low);
      span.high = Math.max(span.high, high);
      lastColumn = at;
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

function runsOf(cells: { sign: string; tone: Tone }[]): PlotRun[] {
  const runs: PlotRun[] = [];
  for (const { sign, tone } of cells) {
    const last = runs.at(-1);
    if (last && last.tone === tone) last.text += sign;
    else runs.push({ text: sign, tone });
  }
  return runs;
}
