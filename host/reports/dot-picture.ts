// Dots of a batch between its limits: every start small, every unit large, the unit under test filled, a strip a reading.
// Made to be read in black and white; the same for a terminal in two lines.

import { n, niceTicks, textAt } from './svg.js';

export interface DotUnit {
  tag: string;
  starts: readonly number[];
  mean: number;
  /** The one that all this is looked at for. */
  isUnderTest?: boolean;
}

export interface DotStrip {
  title: string;
  /** Symbol of the unit. */
  unit: string;
  lower?: number | undefined;
  upper?: number | undefined;
  units: readonly DotUnit[];
  /** Stands at the right of the title. */
  said?: string;
}

const WIDTH = 640;
const STRIP = 78;
const HEAD = 44;
const LEFT = 16;
const PLOT = WIDTH - 2 * LEFT;
const RADIUS = 3.6;
/** How often dots are raised before they lie over each other. */
const MOST_RAISED = 5;

/** Ends of what is drawn: all dots and limits, with a little room. */
export function rangeOf({ lower, upper, units }: DotStrip): { from: number; to: number } {
  const all = [
    ...units.flatMap(({ starts, mean }) => [...starts, mean]),
    ...[lower, upper].filter((end) => end !== undefined),
  ];
  const [from, to] = [Math.min(...all), Math.max(...all)];
  const room = to > from ? 0.04 * (to - from) : Math.abs(from) * 0.1 || 1;
  return { from: from - room, to: to + room };
}

/** @param strips one at the least */
export function dotsSvg(title: string, strips: readonly DotStrip[], legend: string): string {
  const height = HEAD + strips.length * STRIP + 12;
  return [
    `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${WIDTH} ${height}" width="${WIDTH}" height="${height}" role="img" font-family="sans-serif" font-size="11">`,
    `<rect width="${WIDTH}" height="${height}" fill="#fff"/>`,
    textAt(LEFT, 18, title, { size: 14, isBold: true }),
    textAt(LEFT, 34, legend, { size: 10 }),
    ...strips.map((strip, i) => stripDrawn(strip, HEAD + i * STRIP)),
    '</svg>',
    '',
  ].join('\n');
}

function stripDrawn(strip: DotStrip, top: number): string {
  const { title, unit, lower, upper, units, said = '' } = strip;
  const { from, to } = rangeOf(strip);
  const xOf = (value: number): number => LEFT + (PLOT * (value - from)) / (to - from);
  const base = top + 52;
  const limit = (end: number | undefined): string =>
    end === undefined
      ? ''
      : `<line x1="${n(xOf(end))}" y1="${n(top + 18)}" x2="${n(xOf(end))}" y2="${n(base + 4)}" stroke="#000" stroke-width="2"/>`;
  const [left, right] = [xOf(lower ?? from), xOf(upper ?? to)];
  const ticks = niceTicks(from, to).filter((tick) => tick >= from && tick <= to);
  const dots = [...units].sort((a, b) => Number(a.isUnderTest ?? false) - Number(b.isUnderTest ?? false));
  const raised: number[] = [];
  return [
    textAt(LEFT, top + 12, `${title}, ${unit}`, { isBold: true }),
    textAt(WIDTH - LEFT, top + 12, said, { anchor: 'end', size: 10 }),
    `<rect x="${n(left)}" y="${n(top + 18)}" width="${n(right - left)}" height="34" fill="#eee"/>`,
    `<line x1="${LEFT}" y1="${n(base)}" x2="${WIDTH - LEFT}" y2="${n(base)}" stroke="#000" stroke-width="0.8"/>`,
    ...ticks.map((tick) => textAt(xOf(tick), base + 15, String(tick), { anchor: 'middle', size: 10 })),
    limit(lower),
    limit(upper),
    ...dots.flatMap(({ starts }) =>
      starts.map(
        (value) =>
          `<line x1="${n(xOf(value))}" y1="${n(base - 3)}" x2="${n(xOf(value))}" y2="${n(base + 3)}" stroke="#555" stroke-width="0.8"/>`,
      ),
    ),
    ...dots.map(({ mean, tag, isUnderTest = false }) => {
      const x = xOf(mean);
      const over = raised.filter((other) => Math.abs(other - x) < 2 * RADIUS).length;
      raised.push(x);
      const y = base - 7 - Math.min(over, MOST_RAISED) * RADIUS * 1.3;
      return isUnderTest
        ? `<path d="M ${n(x)} ${n(y - 6)} l 6 6 l -6 6 l -6 -6 z" fill="#000"/>${textAt(
            Math.min(WIDTH - LEFT, Math.max(LEFT, x)),
            top + 25,
            tag,
            {
              ...{ anchor: x > WIDTH - 80 ? 'end' : x < 80 ? 'start' : 'middle', size: 10 },
              isBold: true,
              halo: '#fff',
            },
          )}`
        : `<circle cx="${n(x)}" cy="${n(y)}" r="${RADIUS}" fill="#fff" stroke="#000"/>`;
    }),
  ].join('\n');
}

export interface DotMarks {
  unit: string;
  start: string;
  underTest: string;
  limit: string;
}
export const DOT_MARKS: DotMarks = { unit: 'o', start: '.', underTest: '#', limit: '|' };

/** Units in the first line, starts in the second; a digit stands for as many in one place, + for more than nine. */
export function dotLines(strip: DotStrip, columns: number, marks: DotMarks = DOT_MARKS): [string, string] {
  const { lower, upper, units } = strip;
  const { from, to } = rangeOf(strip);
  const at = (value: number): number =>
    Math.min(columns - 1, Math.max(0, Math.round(((columns - 1) * (value - from)) / (to - from))));
  const line = (values: readonly number[], mark: string, tested: readonly number[]): string => {
    const cells = Array.from({ length: columns }, () => ' ');
    for (const end of [lower, upper]) if (end !== undefined) cells[at(end)] = marks.limit;
    const counts = new Map<number, number>();
    for (const value of values) counts.set(at(value), (counts.get(at(value)) ?? 0) + 1);
    for (const [place, count] of counts) cells[place] = count === 1 ? mark : count > 9 ? '+' : String(count);
    for (const value of tested) cells[at(value)] = marks.underTest;
    return cells.join('').trimEnd();
  };
  const others = units.filter(({ isUnderTest }) => !isUnderTest);
  const tested = units.filter(({ isUnderTest }) => isUnderTest);
  return [
    line(
      others.map(({ mean }) => mean),
      marks.unit,
      tested.map(({ mean }) => mean),
    ),
    line(
      others.flatMap(({ starts }) => starts),
      marks.start,
      tested.flatMap(({ starts }) => starts),
    ),
  ];
}
