// Where the letters of a sheet go, and what a reader could mistake: texts that touch, wires that only seem joined.

import { type Net, type Part, place, type Sheet } from './parse.js';
import type { Box, Point } from './symbols.js';

/** Size of the letters in grid units; the drawing uses a fixed-pitch font so that widths are known. */
export const LETTER_HEIGHT = 1.15;
export const LETTER_WIDTH = 0.61 * LETTER_HEIGHT;
export const LINE_HEIGHT = 1.4;

export interface TextLine {
  /** Baseline point in grid units. */
  at: Point;
  anchor: 'start' | 'middle' | 'end';
  text: string;
  bold: boolean;
}

export function textBox({ at: [x, y], anchor, text }: TextLine): Box {
  const width = text.length * LETTER_WIDTH;
  const left = anchor === 'start' ? x : anchor === 'end' ? x - width : x - width / 2;
  return [left, y - 0.8 * LETTER_HEIGHT, left + width, y + 0.2 * LETTER_HEIGHT];
}

export function bodyBox(part: Part): Box {
  const [left, top, right, bottom] = part.shape.body;
  const [x1, y1] = place(part, [left, top]);
  const [x2, y2] = place(part, [right, bottom]);
  return [Math.min(x1, x2), Math.min(y1, y2), Math.max(x1, x2), Math.max(y1, y2)];
}

/** Every text of the sheet but its title. */
export function textLines(sheet: Sheet): TextLine[] {
  const lines: TextLine[] = [];
  for (const part of sheet.parts.values()) {
    lines.push(...partLabel(part));
    for (const letter of part.shape.letters ?? []) {
      const [x, y] = place(part, letter.at);
      lines.push({ at: [x, y + 0.3 * LETTER_HEIGHT], anchor: 'middle', text: letter.text, bold: false });
    }
  }
  for (const net of sheet.nets.values()) {
    for (const { kind, at } of net.marks) {
      if (kind === 'rail')
        lines.push({ at: [at[0], at[1] - 1.3], anchor: 'middle', text: net.name, bold: false });
      if (kind === 'flag-left') {
        lines.push({ at: [at[0] - 1.4, at[1] + 0.4], anchor: 'end', text: net.name, bold: false });
      }
      if (kind === 'flag-right') {
        lines.push({ at: [at[0] + 1.4, at[1] + 0.4], anchor: 'start', text: net.name, bold: false });
      }
    }
  }
  for (const { at, text } of sheet.notes) lines.push({ at, anchor: 'start', text, bold: false });
  for (const { from, text } of sheet.frames) {
    lines.push({ at: [from[0] + 0.8, from[1] + 1.5], anchor: 'start', text, bold: true });
  }
  return lines;
}

function partLabel(part: Part): TextLine[] {
  const [left, top, right, bottom] = bodyBox(part);
  const upright =
    part.quarterTurns % 2 === 1 || part.kind === 'coil' || part.kind === 'motor' || part.kind === 'battery';
  const side = part.label ?? (upright ? 'right' : 'above');
  const texts = [part.ref.replace(':', '.'), ...part.values];
  const middleX = (left + right) / 2;
  const height = (texts.length - 1) * LINE_HEIGHT;
  const firstY =
    side === 'above'
      ? top - 0.5 - height
      : side === 'below'
        ? bottom + 1.3
        : (top + bottom) / 2 + 0.4 - height / 2;
  const x = side === 'left' ? left - 0.5 : side === 'right' ? right + 0.5 : middleX;
  const anchor = side === 'left' ? 'end' : side === 'right' ? 'start' : 'middle';
  return texts.map((text, i) => ({ at: [x, firstY + i * LINE_HEIGHT], anchor, text, bold: i === 0 }));
}

/**
 * Points where three or more ends or pins of one net meet, or where one piece ends on another: drawn as dots. A terminal has
 * a ring of its own there.
 */
export function junctions(sheet: Sheet, net: Net): Point[] {
  const pins = net.pins.filter(({ ref }) => sheet.parts.get(ref)?.kind !== 'terminal');
  const ends = [...net.segments.flat(), ...pinPoints(sheet, { pins })];
  const isJunction = (at: Point): boolean =>
    ends.filter((end) => same(end, at)).length +
      net.segments.filter((segment) => inside(segment, at)).length * 2 >
    2;
  return ends.filter((at, i) => isJunction(at) && ends.findIndex((other) => same(other, at)) === i);
}

/** What a reader could mistake on the sheet; empty when nothing. */
export function confusions(sheet: Sheet): string[] {
  const found: string[] = [];
  const texts = textLines(sheet).map((line) => ({ name: `"${line.text}"`, box: textBox(line) }));
  const bodies = [...sheet.parts.values()].map((part) => ({ part, box: bodyBox(part) }));
  texts.forEach((text, i) => {
    if (text.box[0] < 0.5 || text.box[2] > sheet.width - 0.5 || text.box[3] > sheet.height - 0.5) {
      found.push(`${text.name} leaves the sheet`);
    }
    for (const other of texts.slice(i + 1))
      if (overlap(text.box, other.box)) found.push(`${text.name} touches ${other.name}`);
    for (const { part, box } of bodies) {
      const own =
        part.shape.letters?.some((letter) => `"${letter.text}"` === text.name) || part.label === 'inside';
      if (!own && overlap(text.box, box)) found.push(`${text.name} touches the symbol of ${part.ref}`);
    }
    for (const net of sheet.nets.values()) {
      if (net.segments.some((segment) => overlap(text.box, spread(segment)))) {
        found.push(`${text.name} is crossed by net ${net.name}`);
      }
    }
  });
  bodies.forEach(({ part, box }, i) => {
    for (const other of bodies.slice(i + 1)) {
      if (overlap(box, other.box)) found.push(`${part.ref} touches ${other.part.ref}`);
    }
    for (const net of sheet.nets.values()) {
      const inner: Box = [box[0] + 0.3, box[1] + 0.3, box[2] - 0.3, box[3] - 0.3];
      if (part.kind !== 'terminal' && net.segments.some((segment) => overlap(inner, spread(segment)))) {
        found.push(`net ${net.name} runs through ${part.ref}`);
      }
    }
  });
  return [...found, ...falseJoins(sheet)];
}

/** Pieces of different nets that meet at an end or run along each other, and pins that lie on a foreign net. */
function falseJoins(sheet: Sheet): string[] {
  const found: string[] = [];
  const nets = [...sheet.nets.values()];
  for (const net of nets) {
    for (const other of nets) {
      if (net === other) continue;
      for (const at of [
        ...net.segments.flat(),
        ...net.marks.map((mark) => mark.at),
        ...pinPoints(sheet, net),
      ]) {
        const joined =
          other.segments.some((segment) => inside(segment, at) || segment.some((end) => same(end, at))) ||
          pinPoints(sheet, other).some((pin) => same(pin, at));
        if (joined) found.push(`net ${net.name} seems joined to ${other.name} at ${at.join(',')}`);
      }
    }
  }
  return found;
}

function pinPoints(sheet: Sheet, { pins }: Pick<Net, 'pins'>): Point[] {
  return pins.map(({ ref, pin }) => {
    const part = sheet.parts.get(ref)!;
    return place(part, part.shape.pins[pin]!);
  });
}

const same = (a: Point, b: Point): boolean => a[0] === b[0] && a[1] === b[1];

/** Strictly between the ends of an upright or level piece. */
function inside([a, b]: readonly [Point, Point], [x, y]: Point): boolean {
  if (a[0] === b[0]) return x === a[0] && y > Math.min(a[1], b[1]) && y < Math.max(a[1], b[1]);
  return y === a[1] && x > Math.min(a[0], b[0]) && x < Math.max(a[0], b[0]);
}

function overlap(a: Box, b: Box): boolean {
  return a[0] < b[2] && b[0] < a[2] && a[1] < b[3] && b[1] < a[3];
}

const spread = ([a, b]: readonly [Point, Point]): Box => [
  Math.min(a[0], b[0]) - 0.1,
  Math.min(a[1], b[1]) - 0.1,
  Math.max(a[0], b[0]) + 0.1,
  Math.max(a[1], b[1]) + 0.1,
];
