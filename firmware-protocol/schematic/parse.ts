// Reads the text of a schematic sheet: parts on a grid, nets as paths through their pins. Format in README.md here.
// Not a drawing: what the sheet means (which pin is on which net) can be read and tested without a picture.

import { blockShape, type Point, SYMBOLS, type SymbolShape } from './symbols.js';

export type LabelSide = 'above' | 'below' | 'left' | 'right' | 'inside';

export interface Part {
  /** `KB`, or `KB:1` for the first contact of KB. */
  ref: string;
  kind: string;
  shape: SymbolShape;
  at: Point;
  quarterTurns: 0 | 1 | 2 | 3;
  flipped: boolean;
  label: LabelSide | undefined;
  values: string[];
}

/** What stands at the end of a stretch of net: ground symbol, supply bar, or a flag that names the net. */
export interface Mark {
  kind: 'gnd' | 'rail' | 'flag-left' | 'flag-right';
  at: Point;
}

export interface Net {
  name: string;
  pins: { ref: string; pin: string }[];
  segments: (readonly [Point, Point])[];
  marks: Mark[];
}

export interface Sheet {
  title: string;
  width: number;
  height: number;
  parts: Map<string, Part>;
  nets: Map<string, Net>;
  notes: { at: Point; text: string }[];
  frames: { from: Point; to: Point; text: string }[];
}

/** Where a pin of a placed part lies on the grid. Throws when the part has no such pin. */
export function pinPoint(part: Part, pin: string): Point {
  const local = part.shape.pins[pin];
  if (local === undefined) {
    throw new Error(`${part.ref} has no pin ${pin}; it has ${Object.keys(part.shape.pins).join(', ')}`);
  }
  return place(part, local);
}

/** A point of the symbol's own grid moved to the sheet: flipped left to right first, then turned clockwise. */
export function place(part: Part, [x, y]: Point): Point {
  let turned: Point = [part.flipped ? -x : x, y];
  for (let i = 0; i < part.quarterTurns; i++) turned = [-turned[1], turned[0]];
  return [part.at[0] + turned[0], part.at[1] + turned[1]];
}

/** Text of one sheet to its meaning. Throws with line number, what is wrong and what was expected. */
export function parseSheet(text: string): Sheet {
  const sheet: Sheet = {
    title: '',
    width: 0,
    height: 0,
    parts: new Map(),
    nets: new Map(),
    notes: [],
    frames: [],
  };
  const lines = text.split(/\r?\n/).map((line, index) => ({ number: index + 1, words: wordsOf(line) }));
  const isNet = (line: { words: Word[] }): boolean => line.words[0]?.text === 'net';
  // Parts first: a net may name a part that stands further down.
  for (const { number, words } of [...lines.filter((line) => !isNet(line)), ...lines.filter(isNet)]) {
    try {
      readLine(sheet, words);
    } catch (error) {
      throw new Error(`line ${number}: ${(error as Error).message}`, { cause: error });
    }
  }
  if (sheet.width === 0) throw new Error('no sheet line; expected: sheet "Title" WIDTH,HEIGHT');
  return sheet;
}

interface Word {
  text: string;
  quoted: boolean;
}

function wordsOf(line: string): Word[] {
  return [...line.replace(/(^|\s)#.*$/, '').matchAll(/"([^"]*)"|(\S+)/g)].map((match) => ({
    text: match[1] ?? match[2] ?? '',
    quoted: match[1] !== undefined,
  }));
}

function readLine(sheet: Sheet, [verb, ...words]: Word[]): void {
  if (verb === undefined) return;
  const bare = words.filter((word) => !word.quoted).map((word) => word.text);
  const quoted = words.filter((word) => word.quoted).map((word) => word.text);
  if (verb.text === 'sheet') readHead(sheet, bare, quoted);
  else if (verb.text === 'part') readPart(sheet, bare, quoted);
  else if (verb.text === 'net') readNet(sheet, bare);
  else if (verb.text === 'note') sheet.notes.push({ at: point(bare[0]), text: quoted[0] ?? '' });
  else if (verb.text === 'frame') {
    sheet.frames.push({ from: point(bare[0]), to: point(bare[1]), text: quoted[0] ?? '' });
  } else throw new Error(`unknown word ${verb.text}; expected sheet, part, net, note or frame`);
}

function point(word: string | undefined): Point {
  const match = /^(-?\d+(?:\.\d+)?),(-?\d+(?:\.\d+)?)$/.exec(word ?? '');
  if (match === null) throw new Error(`${word ?? 'nothing'} is not a grid point; expected X,Y`);
  return [Number(match[1]), Number(match[2])];
}

function readHead(sheet: Sheet, bare: string[], quoted: string[]): void {
  [sheet.width, sheet.height] = point(bare[0]);
  sheet.title = quoted[0] ?? '';
}

function readPart(sheet: Sheet, bare: string[], values: string[]): void {
  const [ref, kind, at, ...options] = bare;
  if (ref === undefined || kind === undefined)
    throw new Error('expected: part REF KIND X,Y [options] "value"');
  if (sheet.parts.has(ref)) throw new Error(`${ref} stands on the sheet twice`);
  const part: Part = {
    ref,
    kind: kind.split(':')[0]!,
    shape: shapeOf(kind),
    at: point(at),
    quarterTurns: 0,
    flipped: false,
    label: undefined,
    values,
  };
  for (const option of options) {
    if (/^r(90|180|270)$/.test(option)) part.quarterTurns = (Number(option.slice(1)) / 90) as 1 | 2 | 3;
    else if (option === 'flip') part.flipped = true;
    else if (/^(above|below|left|right|inside)$/.test(option)) part.label = option as LabelSide;
    else
      throw new Error(
        `unknown option ${option}; expected r90, r180, r270, flip, above, below, left, right, inside`,
      );
  }
  sheet.parts.set(ref, part);
}

/** `block:12x8:left=a,b:right=c` or the name of a symbol. */
function shapeOf(kind: string): SymbolShape {
  const [name, size, ...sides] = kind.split(':');
  if (name === 'block') {
    const [width, height] = (size ?? '').split('x').map(Number);
    if (!width || !height) throw new Error(`${kind} lacks its size; expected block:WIDTHxHEIGHT:left=a,b`);
    return blockShape(
      width,
      height,
      Object.fromEntries(sides.map((side) => [side.split('=')[0], side.split('=')[1]?.split(',') ?? []])),
    );
  }
  const shape = SYMBOLS[kind];
  if (shape === undefined)
    throw new Error(`no symbol ${kind}; there are ${Object.keys(SYMBOLS).join(', ')}, block`);
  return shape;
}

function readNet(sheet: Sheet, [name, ...items]: string[]): void {
  if (name === undefined) throw new Error('expected: net NAME item item ...');
  const net = sheet.nets.get(name) ?? { name, pins: [], segments: [], marks: [] };
  sheet.nets.set(name, net);
  let pen: Point | undefined;
  let verticalFirst = false;
  for (const item of items) {
    if (item === ';') pen = undefined;
    else if (item === '|') verticalFirst = true;
    else if (/^(gnd|rail|flag-left|flag-right)$/.test(item)) {
      if (pen === undefined) throw new Error(`${item} needs a point before it`);
      net.marks.push({ kind: item as Mark['kind'], at: pen });
    } else {
      const next = /^-?\d/.test(item) ? point(item) : pinOf(sheet, net, item);
      if (pen !== undefined) draw(net, pen, next, verticalFirst);
      pen = next;
      verticalFirst = false;
    }
  }
}

function pinOf(sheet: Sheet, net: Net, item: string): Point {
  const [ref, pin] = [item.slice(0, item.lastIndexOf('.')), item.slice(item.lastIndexOf('.') + 1)];
  const part = sheet.parts.get(ref);
  if (part === undefined) throw new Error(`no part ${ref} on this sheet`);
  const at = pinPoint(part, pin);
  if (!net.pins.some((known) => known.ref === ref && known.pin === pin)) net.pins.push({ ref, pin });
  return at;
}

/** A straight piece, or two with a corner: across first, then up or down; `|` before the point turns that round. */
function draw(net: Net, from: Point, to: Point, verticalFirst: boolean): void {
  const corner: Point = verticalFirst ? [from[0], to[1]] : [to[0], from[1]];
  for (const [start, end] of [
    [from, corner],
    [corner, to],
  ] as const) {
    if (start[0] !== end[0] || start[1] !== end[1]) net.segments.push([start, end]);
  }
}
