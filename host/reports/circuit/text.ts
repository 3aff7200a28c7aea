// The same circuit in the cells of a terminal: frames and wires in line-drawing letters, badges as numbers. Wires that
// cross are not joined: the upright one runs through.

import type { Drawing, Pin } from './drawing.js';
import { flowsOf } from './flows.js';
import { type Layout, laidOut, type PlacedBox, type PlacedWire, type Point } from './layout.js';
import {
  currentWords,
  isFaultyBox,
  isFaultyPin,
  isFaultyWire,
  type Shown,
  stateWords,
  valuesAt,
} from './shown.js';
import { type Metrics, pinLines } from './sizes.js';

/** A cell is one letter wide and one line high. @param wordLetters of a line of words: fewer make it narrower */
const cellMetrics = (isCompared: boolean, wordLetters: number): Metrics => ({
  letter: 1,
  line: 1,
  pad: 1,
  valueLetters: isCompared ? 8 : 6,
  valueLines: isCompared ? 2 : 1,
  faultLines: isCompared ? 1 : 0,
  wireGap: 2,
  symbol: 0,
  wordsBeside: false,
  wordLetters,
  stateLetters: 9,
  badge: BADGE,
  spacing: { nodes: 2, edges: 2, layers: 1, edgeLayers: 1, edgeNode: 2 },
});

/** Number, and what flows. */
const BADGE = { width: 7, height: 2 };
/** From wide to narrow. */
const WORD_LETTERS = [18, 14, 11];

/** As wide as fits into `columns`, else as narrow as it goes. */
export async function cellLayout(drawing: Drawing, isCompared: boolean, columns: number): Promise<Layout> {
  const layouts: Layout[] = [];
  for (const letters of WORD_LETTERS) {
    const layout = await laidOut(drawing, cellMetrics(isCompared, letters));
    if (Math.ceil(layout.width) <= columns) return layout;
    layouts.push(layout);
  }
  return layouts.toSorted((one, other) => one.width - other.width)[0] as Layout;
}

type Cells = string[][];

function put(cells: Cells, x: number, y: number, text: string): void {
  const row = cells[y];
  if (row === undefined) return;
  [...text].forEach((letter, i) => {
    if (x + i >= 0 && x + i < row.length) row[x + i] = letter;
  });
}

/** Lines of the picture, no wider than its layout. */
export function circuitText(layout: Layout, shown: Shown): string[] {
  const width = Math.ceil(layout.width) + 1;
  const height = Math.ceil(layout.height) + 1;
  const cells: Cells = Array.from({ length: height }, () => Array.from({ length: width }, () => ' '));
  const flows = flowsOf(layout.drawing, shown);
  for (const wire of layout.wires) drawWire(cells, wire, 'across');
  for (const wire of layout.wires) drawWire(cells, wire, 'upright');
  for (const wire of layout.wires) drawCorners(cells, wire);
  for (const each of layout.boxes) drawBox(cells, each, shown, layout.metrics);
  for (const wire of layout.wires) drawBadge(cells, wire, shown, flows.get(wire.wire.id) ?? 0);
  return cells.map((row) => row.join('').trimEnd());
}

const rounded = ({ x, y }: Point): Point => ({ x: Math.round(x), y: Math.round(y) });

function stepsOf({ points }: PlacedWire): [Point, Point][] {
  const cells = points.map(rounded);
  return cells.flatMap((to, i): [Point, Point][] => {
    const from = cells[i - 1];
    return from === undefined ? [] : [[from, to]];
  });
}

function drawWire(cells: Cells, wire: PlacedWire, which: 'across' | 'upright'): void {
  for (const [from, to] of stepsOf(wire)) {
    const isUpright = from.x === to.x;
    if (isUpright !== (which === 'upright')) continue;
    if (isUpright)
      for (let y = Math.min(from.y, to.y); y <= Math.max(from.y, to.y); y++) put(cells, from.x, y, '│');
    else for (let x = Math.min(from.x, to.x); x <= Math.max(from.x, to.x); x++) put(cells, x, from.y, '─');
  }
}

const CORNERS = { 'up left': '┘', 'up right': '└', 'down left': '┐', 'down right': '┌' } as const;

function drawCorners(cells: Cells, wire: PlacedWire): void {
  const points = wire.points.map(rounded).filter((point, i, all) => {
    const before = all[i - 1];
    return before === undefined || before.x !== point.x || before.y !== point.y;
  });
  points.forEach((at, i) => {
    const [before, after] = [points[i - 1], points[i + 1]];
    if (before === undefined || after === undefined) return;
    const ends = [before, after];
    const upright = ends.find(({ x }) => x === at.x);
    const across = ends.find(({ y }) => y === at.y);
    if (upright === undefined || across === undefined) return;
    put(
      cells,
      at.x,
      at.y,
      CORNERS[`${upright.y < at.y ? 'up' : 'down'} ${across.x < at.x ? 'left' : 'right'}`],
    );
  });
}

function drawBox(cells: Cells, placed: PlacedBox, shown: Shown, metrics: Metrics): void {
  const { box, lines } = placed;
  const { x: left, y: top } = rounded(placed);
  const { bodyWidth: width, height } = placed;
  const bottom = top + height - 1;
  const isFaulty = isFaultyBox(shown, box);
  const [across, upright] = isFaulty ? ['═', '║'] : ['─', '│'];
  const [ul, ur, ll, lr] = isFaulty ? '╔╗╚╝' : box.kind === 'joint' ? '╭╮╰╯' : '┌┐└┘';
  put(cells, left, top, `${ul}${across.repeat(width - 2)}${ur}`);
  for (let y = top + 1; y < bottom; y++) put(cells, left, y, `${upright}${' '.repeat(width - 2)}${upright}`);
  put(cells, left, bottom, `${ll}${across.repeat(width - 2)}${lr}`);
  const centred = (y: number, text: string): void =>
    put(cells, left + Math.max(1, Math.floor((width - text.length) / 2)), y, text);
  if (!box.isOrdered) {
    const values = valuesAt(shown, box.nodes[0] ?? '');
    [...lines, ...values].forEach((text, i) => {
      centred(top + 1 + i, text);
    });
    return;
  }
  const state = stateWords(shown, box);
  const words = [...(isFaulty ? ['! faulty'] : []), ...lines, ...(state === '' ? [] : [state])];
  words.forEach((text, i) => {
    centred(top + 1 + pinLines(box, 'top', metrics) + i, text);
  });
  for (const { pin, x } of placed.pins) drawPin(cells, { pin, x: left + x, top, bottom }, shown, placed);
}

function drawPin(
  cells: Cells,
  { pin, x, top, bottom }: { pin: Pin; x: number; top: number; bottom: number },
  shown: Shown,
  { box }: PlacedBox,
): void {
  const hasMarks = box.pins.some((each) => each.side === pin.side && each.mark !== '');
  const mark = `${isFaultyPin(shown, box, pin) ? '!' : ''}${SIGNS[pin.mark] ?? pin.mark}`;
  const values = valuesAt(shown, pin.node);
  const rows =
    pin.side === 'top' ? [...(hasMarks ? [mark] : []), ...values] : [...values, ...(hasMarks ? [mark] : [])];
  const from = pin.side === 'top' ? top + 1 : bottom - rows.length;
  rows.forEach((text, i) => {
    put(cells, x - Math.floor(text.length / 2), from + i, text);
  });
}

/** Ends of a diode, that a terminal has no symbol for. */
const SIGNS: Readonly<Record<string, string>> = { anode: '▷ in', cathode: '▷ out' };

function drawBadge(cells: Cells, { wire, points, badge }: PlacedWire, shown: Shown, flowA: number): void {
  if (badge === undefined || wire.part === undefined) return;
  const { width } = BADGE;
  const at = rounded({ x: badge.x + width / 2, y: badge.y });
  const number = `${isFaultyWire(shown, wire) ? '!' : ''}(${shown.numbers.get(wire.part) ?? ''})`;
  const flow = currentWords(flowA, points, { x: badge.x + width / 2, y: badge.y + 1 });
  const line = points.map(rounded).find(({ y }, i, all) => y >= at.y || i === all.length - 1)?.x ?? at.x;
  put(cells, line - Math.floor(number.length / 2), at.y, number);
  if (flow !== '')
    put(cells, line - Math.floor(flow.length / 2), at.y + 1, flow.replace(' mA', 'mA').replace(' A', 'A'));
}
