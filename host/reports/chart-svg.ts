// A capture as an SVG picture, with the expected band behind each trace: currents, lead voltages, coil current.
// Stands alone (no style sheet, no script), prints in black on white; dashes repeat what colour says.

import { itemAt, lastOf, sampleAt } from '../arrays/index.js';
import {
  type Capture,
  CHANNEL,
  type Channel,
  type ChannelRecord,
  type Ink,
  type Position,
  sampledChannels,
} from '../capture/index.js';
import { visible } from '../input/index.js';
import { shortly } from '../tell/index.js';

export interface ChartBand {
  timeS: Float64Array;
  lower: Partial<Record<Channel, Float64Array>>;
  upper: Partial<Record<Channel, Float64Array>>;
}

export interface ChartRequest {
  capture: Pick<Capture, 'timeS' | 'position' | 'channels'>;
  band?: ChartBand;
  title: string;
  /** Conditions under the title: what was simulated or measured, how. */
  subtitle?: string;
}

interface Line {
  channel: Channel;
  values: Float64Array;
  label: string;
  colour: string;
  dash?: string;
}

interface Panel {
  title: string;
  unit: string;
  lines: Line[];
}

const INKS: Record<Ink, Pick<Line, 'colour' | 'dash'>> = {
  brown: { colour: '#8a5a00', dash: '5 3' },
  blue: { colour: '#00539c' },
  green: { colour: '#2d6a2d' },
  grey: { colour: '#555555', dash: '2 3' },
  red: { colour: '#b03a2e', dash: '7 3' },
};

/** From top to bottom. */
const PANELS: readonly ChannelRecord['picture']['panel'][] = ['Current', 'Voltage to ground', 'Coil current'];

const WIDTH = 960;
const LEFT = 64;
const RIGHT = 16;
const TOP = 72;
const PANEL_HEIGHT = 190;
const PANEL_GAP = 46;
const PLOT_WIDTH = WIDTH - LEFT - RIGHT;
const POSITION_FILL: Record<Position, string> = { rest: 'none', forward: '#eef4fa', reverse: '#faf1ee' };

/** Panels whose channels the capture lacks are left out. NaN samples break the line. */
export function chartSvg({ capture, band, title, subtitle }: ChartRequest): string {
  const panels = PANELS.flatMap((title) => panelOf(title, capture));
  const height = TOP + panels.length * (PANEL_HEIGHT + PANEL_GAP);
  const fromS = capture.timeS[0] ?? 0;
  const toS = Math.max(capture.timeS.at(-1) ?? 1, fromS + 1e-6);
  const x = (timeS: number): number => LEFT + (PLOT_WIDTH * (timeS - fromS)) / (toS - fromS);
  const parts = [
    `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${WIDTH} ${height}" width="${WIDTH}" height="${height}" role="img" font-family="sans-serif" font-size="12">`,
    `<title>${escaped(title)}</title>`,
    `<rect width="${WIDTH}" height="${height}" fill="#ffffff"/>`,
    `<text x="${LEFT}" y="22" font-size="16" font-weight="bold">${escaped(title)}</text>`,
    ...(subtitle === undefined
      ? []
      : [`<text x="${LEFT}" y="40" fill="#444444">${escaped(subtitle)}</text>`]),
    ...panels.map((panel, i) =>
      drawPanel({ panel, capture, band, x, top: TOP + i * (PANEL_HEIGHT + PANEL_GAP), fromS, toS }),
    ),
    '</svg>',
  ];
  return `${parts.join('\n')}\n`;
}

/** None where the capture has no channel for it. */
function panelOf(title: string, { channels }: ChartRequest['capture']): Panel[] {
  const lines = sampledChannels(channels)
    .filter(([channel]) => CHANNEL[channel].picture.panel === title)
    // What is watched most lies on top.
    .sort(([a], [b]) => Number(CHANNEL[a].isTraced === true) - Number(CHANNEL[b].isTraced === true))
    .map(([channel, values]): Line => {
      const { short, picture } = CHANNEL[channel];
      return { channel, values, label: picture.legend ?? short, ...INKS[picture.ink] };
    });
  return lines.slice(0, 1).map(({ channel }) => ({ title, unit: CHANNEL[channel].unit, lines }));
}

interface PanelRequest {
  panel: Panel;
  capture: ChartRequest['capture'];
  band: ChartBand | undefined;
  x: (timeS: number) => number;
  top: number;
  fromS: number;
  toS: number;
}

function drawPanel({ panel, capture, band, x, top, fromS, toS }: PanelRequest): string {
  const arrays = panel.lines.flatMap(({ channel, values: own }) => [
    own,
    ...[band?.lower[channel], band?.upper[channel]].filter((values) => values !== undefined),
  ]);
  const ticks = niceTicks(...extremes(arrays));
  const [low, high] = [itemAt(ticks, 0), lastOf(ticks)];
  const y = (value: number): number => top + PANEL_HEIGHT * (1 - (value - low) / (high - low));
  const bottom = top + PANEL_HEIGHT;
  const legend = panel.lines.map(({ label, colour, dash }, i) => {
    const at = LEFT + 160 + i * 170;
    const stroke = `stroke="${colour}" stroke-width="2"${dash ? ` stroke-dasharray="${dash}"` : ''}`;
    return `<line x1="${at}" y1="${top - 9}" x2="${at + 26}" y2="${top - 9}" ${stroke}/><text x="${at + 32}" y="${top - 5}">${escaped(label)}</text>`;
  });
  const timeTicks = niceTicks(fromS, toS).filter((tick) => tick >= fromS && tick <= toS);
  return [
    '<g>',
    ...positionFields(capture, x, top),
    ...ticks.map(
      (tick) =>
        `<line x1="${LEFT}" y1="${n(y(tick))}" x2="${LEFT + PLOT_WIDTH}" y2="${n(y(tick))}" stroke="${tick === 0 ? '#888888' : '#dddddd'}"/><text x="${LEFT - 6}" y="${n(y(tick) + 4)}" text-anchor="end">${shortly(tick)}</text>`,
    ),
    ...timeTicks.map(
      (tick) =>
        `<line x1="${n(x(tick))}" y1="${bottom}" x2="${n(x(tick))}" y2="${bottom + 4}" stroke="#888888"/><text x="${n(x(tick))}" y="${bottom + 17}" text-anchor="middle">${shortly(tick)}${tick === timeTicks.at(-1) ? ' s' : ''}</text>`,
    ),
    `<text x="${LEFT}" y="${top - 5}" font-weight="bold">${escaped(panel.title)}, ${panel.unit}</text>`,
    ...legend,
    ...panel.lines.map(({ channel, colour }) => bandPath(band, channel, colour, x, y)),
    ...panel.lines.map((line) => tracePath(capture, line, x, y)),
    '</g>',
  ]
    .filter((part) => part !== '')
    .join('\n');
}

/** The stretches thrown, shaded and named. */
function positionFields(capture: PanelRequest['capture'], x: PanelRequest['x'], top: number): string[] {
  const { timeS, position } = capture;
  const fields: string[] = [];
  for (let i = 0, from = 0; i <= position.length; i++) {
    if (i < position.length && position[i] === position[from]) continue;
    const thrown = position[from];
    if (thrown !== undefined && thrown !== 'rest') {
      const left = x(sampleAt(timeS, from));
      const right = x(sampleAt(timeS, Math.min(i, position.length - 1)));
      fields.push(
        `<rect x="${n(left)}" y="${top}" width="${n(right - left)}" height="${PANEL_HEIGHT}" fill="${POSITION_FILL[thrown]}"/><text x="${n((left + right) / 2)}" y="${top + PANEL_HEIGHT - 5}" fill="#777777" text-anchor="middle">${thrown}</text>`,
      );
    }
    from = i;
  }
  return fields;
}

function bandPath(
  band: ChartBand | undefined,
  channel: Channel,
  colour: string,
  x: PanelRequest['x'],
  y: (value: number) => number,
): string {
  const lower = band?.lower[channel];
  const upper = band?.upper[channel];
  if (band === undefined || lower === undefined || upper === undefined) return '';
  const up: string[] = [];
  const down: string[] = [];
  for (const { column, low, high } of columnsOf(band.timeS, lower, upper, x)) {
    up.push(`${column},${n(y(high))}`);
    down.push(`${column},${n(y(low))}`);
  }
  if (up.length === 0) return '';
  return `<polygon points="${up.join(' ')} ${down.reverse().join(' ')}" fill="${colour}" fill-opacity="0.18" stroke="none"/>`;
}

function tracePath(
  capture: PanelRequest['capture'],
  { values, colour, dash }: Line,
  x: PanelRequest['x'],
  y: (value: number) => number,
): string {
  let path = '';
  for (const { column, low, high, first, last, isJoined } of columnsOf(capture.timeS, values, values, x)) {
    const steps = [first, low, high, last].filter((value, i, all) => i === 0 || value !== all[i - 1]);
    path += steps.map((value, i) => `${i === 0 && !isJoined ? 'M' : 'L'}${column} ${n(y(value))}`).join('');
  }
  const style = `stroke="${colour}" stroke-width="1.5"${dash ? ` stroke-dasharray="${dash}"` : ''}`;
  return path === '' ? '' : `<path d="${path}" fill="none" ${style}/>`;
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
  x: PanelRequest['x'],
): Column[] {
  const columns: Column[] = [];
  let isJoined = false;
  for (let i = 0; i < timeS.length; i++) {
    const low = sampleAt(lower, i);
    const high = sampleAt(upper, i);
    if (Number.isNaN(low) || Number.isNaN(high)) {
      isJoined = false;
      continue;
    }
    const column = Math.round(x(sampleAt(timeS, i)));
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

function extremes(arrays: readonly Float64Array[]): [number, number] {
  let low = 0;
  let high = 0;
  for (const values of arrays) {
    for (const value of values) {
      if (value < low) low = value;
      if (value > high) high = value;
    }
  }
  return high - low < 1e-3 ? [low, low + 1] : [low, high];
}

/** Multiples of 1, 2 or 5 of a decade that hold both ends, some five to ten of them. */
function niceTicks(low: number, high: number): number[] {
  const rough = (high - low) / 6;
  const decade = 10 ** Math.floor(Math.log10(rough));
  const step = ([1, 2, 5, 10].find((factor) => factor * decade >= rough) ?? 10) * decade;
  const first = Math.floor(low / step + 1e-9);
  const last = Math.ceil(high / step - 1e-9);
  return Array.from({ length: last - first + 1 }, (_, i) => Number(((first + i) * step).toPrecision(6)));
}

const n = (value: number): string => String(Math.round(value * 10) / 10);

function escaped(text: string): string {
  return visible(text)
    .replaceAll('&', '&amp;')
    .replaceAll('<', '&lt;')
    .replaceAll('>', '&gt;')
    .replaceAll('"', '&quot;');
}
