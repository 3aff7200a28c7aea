// One plot: traces of one unit over time in a box, with grid, ticks, band, and marks where a kick leaves the box.

import { itemAt, lastOf, sampleAt } from '../arrays/index.js';
import type { Channel } from '../capture/index.js';
import { shortly } from '../tell/index.js';
import { n, niceTicks, textAt, textWidth } from './svg.js';

export interface ChartBand {
  timeS: Float64Array;
  lower: Partial<Record<Channel, Float64Array>>;
  upper: Partial<Record<Channel, Float64Array>>;
}

export interface Line {
  channel: Channel;
  values: Float64Array;
  label: string;
  colour: string;
  dash?: string;
}

export interface Box {
  left: number;
  top: number;
  width: number;
  height: number;
  fromS: number;
  toS: number;
}

interface RangeWanted {
  /** The noise of a channel on which nothing flows should look like nothing. */
  leastSpan?: number;
  /** A kick of a switched coil or motor may leave the box, marked, rather than flatten all the rest. */
  clipsKicks?: boolean;
  /** Zero need not be in the box. */
  isTight?: boolean;
}

export interface Plot extends RangeWanted {
  box: Box;
  timeS: Float64Array;
  lines: readonly Line[];
  band?: ChartBand | undefined;
}

interface Scale {
  x: (timeS: number) => number;
  y: (value: number) => number;
  ticks: number[];
  low: number;
  high: number;
}

export const timeScale = ({ left, width, fromS, toS }: Box): Scale['x'] => {
  const span = Math.max(toS - fromS, 1e-6);
  return (timeS) => left + (width * (timeS - fromS)) / span;
};

/** Grid with values, bands, traces and marks; the time axis is drawn by `timeAxis`. */
export function drawPlot(plot: Plot): string[] {
  const { box, lines, band } = plot;
  const scale = scaleOf(plot);
  const right = box.left + box.width;
  return [
    ...scale.ticks.map((tick) => {
      const y = n(scale.y(tick));
      const stroke = tick === 0 ? '#888888' : '#dddddd';
      return `<line x1="${n(box.left)}" y1="${y}" x2="${n(right)}" y2="${y}" stroke="${stroke}"/>${textAt(box.left - 6, scale.y(tick) + 4, shortly(tick), { anchor: 'end' })}`;
    }),
    ...lines.flatMap(({ channel, colour }) => bandPath(band, channel, colour, box, scale)),
    ...lines.flatMap((line) => tracePath(plot, line, scale)),
    ...lines.flatMap((line) => kickMarks(plot, line, scale)),
  ];
}

/** Ticks and numbers under a box; `unit` stands behind the last. Times are told from `zeroS` on. */
export function timeAxis(
  box: Box,
  { zeroS = 0, factor = 1, about = 6 }: { zeroS?: number; factor?: number; about?: number } = {},
): string[] {
  const x = timeScale(box);
  const bottom = box.top + box.height;
  const [from, to] = [(box.fromS - zeroS) * factor, (box.toS - zeroS) * factor];
  return niceTicks(from, to, about)
    .filter((tick) => tick >= from - 1e-9 && tick <= to + 1e-9)
    .map((tick) => {
      const at = x(tick / factor + zeroS);
      return `<line x1="${n(at)}" y1="${n(bottom)}" x2="${n(at)}" y2="${n(bottom + 4)}" stroke="#888888"/>${textAt(at, bottom + 16, shortly(tick), { anchor: 'middle' })}`;
    });
}

function scaleOf({ box, timeS, lines, band, ...wanted }: Plot): Scale {
  const values = lines.flatMap(({ channel, values: own }) => [
    within(own, timeS, box),
    ...[band?.lower[channel], band?.upper[channel]].flatMap((of) =>
      band && of ? [within(of, band.timeS, box)] : [],
    ),
  ]);
  const ticks = niceTicks(...rangeOf(values, wanted), Math.max(3, Math.round(box.height / 32)));
  const [low, high] = [itemAt(ticks, 0), lastOf(ticks)];
  const y = (value: number): number => box.top + box.height * (1 - (value - low) / (high - low));
  return { x: timeScale(box), y, ticks, low, high };
}

/** The part of `values` whose time the box shows. */
function within(values: Float64Array, timeS: Float64Array, { fromS, toS }: Box): Float64Array {
  const from = timeS.findIndex((at) => at >= fromS);
  const to = timeS.findLastIndex((at) => at <= toS);
  return from === -1 ? new Float64Array() : values.subarray(from, to + 1);
}

/** Kicks last milliseconds of seconds. They may run out where the rest gains this much. */
const KICK_SHARE = 0.003;
const KICK_GAIN = 0.75;
/** What leaves the box by no more than this is drawn, not marked. */
const NOISE_SHARE = 0.04;

function rangeOf(
  arrays: readonly Float64Array[],
  { clipsKicks, isTight, leastSpan = 1e-3 }: RangeWanted,
): [number, number] {
  const spans = arrays.map((values) => {
    const sorted = values.filter((value) => !Number.isNaN(value)).sort();
    const at = (share: number): number => sorted[Math.round(share * (sorted.length - 1))] ?? 0;
    return { whole: [at(0), at(1)], most: [at(KICK_SHARE), at(1 - KICK_SHARE)] } as const;
  });
  const zero = isTight ? [] : [0];
  const hull = (of: 'whole' | 'most'): [number, number] => [
    Math.min(...zero, ...spans.map((span) => span[of][0])),
    Math.max(...zero, ...spans.map((span) => span[of][1])),
  ];
  const whole = hull('whole');
  const most = hull('most');
  const isWorthIt = clipsKicks === true && most[1] - most[0] < KICK_GAIN * (whole[1] - whole[0]);
  const [low, high] = isWorthIt ? most : whole;
  const least = NOISE_SHARE * (high - low);
  // Noise about zero needs no tick of its own.
  const [from, to] = [low > -least ? Math.max(0, low) : low, high < least ? Math.min(0, high) : high];
  return to - from < leastSpan
    ? [Math.min(from, 0), Math.max(to, Math.min(from, 0) + leastSpan)]
    : [from, to];
}

function bandPath(
  band: ChartBand | undefined,
  channel: Channel,
  colour: string,
  box: Box,
  { x, y, low, high }: Scale,
): string[] {
  const lower = band?.lower[channel];
  const upper = band?.upper[channel];
  if (band === undefined || lower === undefined || upper === undefined) return [];
  const kept = (value: number): string => n(y(Math.min(high, Math.max(low, value))));
  const columns = columnsOf(band.timeS, lower, upper, { box, x });
  if (columns.length === 0) return [];
  const up = columns.map(({ column, high: most }) => `${column},${kept(most)}`);
  const down = columns.map(({ column, low: least }) => `${column},${kept(least)}`).reverse();
  return [
    `<polygon points="${up.join(' ')} ${down.join(' ')}" fill="${colour}" fill-opacity="0.18" stroke="none"/>`,
  ];
}

function tracePath({ box, timeS }: Plot, line: Line, { x, y, low: least, high: most }: Scale): string[] {
  const { values, colour, dash } = line;
  const reach = NOISE_SHARE * (most - least);
  const kept = (value: number): string => n(y(Math.min(most + reach, Math.max(least - reach, value))));
  let path = '';
  for (const { column, low, high, first, last, isJoined } of columnsOf(timeS, values, values, { box, x })) {
    const steps = [first, low, high, last].filter((value, i, all) => i === 0 || value !== all[i - 1]);
    path += steps.map((value, i) => `${i === 0 && !isJoined ? 'M' : 'L'}${column} ${kept(value)}`).join('');
  }
  const style = `stroke="${colour}" stroke-width="1.5"${dash ? ` stroke-dasharray="${dash}"` : ''}`;
  return path === '' ? [] : [`<path d="${path}" fill="none" ${style}/>`];
}

/** A small triangle at the edge of the box for each kick that leaves it, and how far the furthest goes. */
function kickMarks({ box, timeS }: Plot, { values, colour }: Line, { x, y, low, high }: Scale): string[] {
  const columns = columnsOf(timeS, values, values, { box, x });
  const reach = NOISE_SHARE * (high - low);
  const kicks = columns.flatMap(({ column, low: least, high: most }) => [
    ...(most > high + reach ? [{ column, value: most, isUp: true }] : []),
    ...(least < low - reach ? [{ column, value: least, isUp: false }] : []),
  ]);
  const apart = kicks.filter(
    (kick, i) => !kicks.slice(0, i).some((e) => e.isUp === kick.isUp && kick.column - e.column < 8),
  );
  const marks = apart.map(({ column, isUp }) => {
    const [edge, base] = isUp ? [y(high), y(high) + 7] : [y(low), y(low) - 7];
    return `<polygon points="${column},${n(edge)} ${column - 4},${n(base)} ${column + 4},${n(base)}" fill="${colour}" stroke="#000000" stroke-width="0.5"/>`;
  });
  const furthest = [true, false].flatMap((isUp) => {
    const own = kicks.filter((kick) => kick.isUp === isUp);
    const most = own.toSorted((a, b) => Math.abs(b.value) - Math.abs(a.value))[0];
    if (most === undefined) return [];
    const text = `to ${shortly(most.value)}`;
    const isLate = most.column + 8 + textWidth(text, 10) > box.left + box.width;
    const at = isLate ? most.column - 7 : most.column + 7;
    const width = textWidth(text, 10);
    const foot = isUp ? y(high) + 9 : y(low) - 2;
    return [
      `<rect x="${n(isLate ? at - width : at)}" y="${n(foot - 9)}" width="${n(width)}" height="11" fill="#ffffff" fill-opacity="0.8"/>`,
      textAt(at, foot, text, { size: 10, anchor: isLate ? 'end' : 'start', fill: colour }),
    ];
  });
  return [...marks, ...furthest];
}

interface Column {
  column: number;
  low: number;
  high: number;
  first: number;
  last: number;
  /** No missing sample lies between this column and the one before. */
  isJoined: boolean;
}

/** Extremes by column of the picture, so that a peak of one sample is still seen. */
function columnsOf(
  timeS: Float64Array,
  lower: Float64Array,
  upper: Float64Array,
  { box, x }: { box: Box; x: Scale['x'] },
): Column[] {
  const columns: Column[] = [];
  let isJoined = false;
  for (let i = 0; i < timeS.length; i++) {
    const atS = sampleAt(timeS, i);
    if (atS < box.fromS || atS > box.toS) continue;
    const low = sampleAt(lower, i);
    const high = sampleAt(upper, i);
    if (Number.isNaN(low) || Number.isNaN(high)) {
      isJoined = false;
      continue;
    }
    const column = Math.round(x(atS));
    const present = columns.at(-1);
    if (present?.column === column) {
      present.low = Math.min(present.low, low);
      present.high = Math.max(present.high, high);
      present.last = high;
    } else columns.push({ column, low, high, first: low, last: high, isJoined });
    isJoined = true;
  }
  return columns;
}
