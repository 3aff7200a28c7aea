// Reads the text of a board: parts in holes, cuts of strips, links, wires that leave it. Format in README.md here.

import { FOOTPRINTS, type Footprint, type Hole } from './footprints.js';

export interface PlacedPart {
  ref: string;
  kind: string;
  footprint: Footprint;
  /** Names as the netlist has them: `R40.a`, `U4:1.p`. */
  pins: { pin: string; at: Hole }[];
}

export interface Board {
  title: string;
  columns: number;
  rows: number;
  parts: PlacedPart[];
  cuts: Hole[];
  /** A bare or sleeved wire down a column, soldered in each of its holes. */
  links: Hole[][];
  /** Wires that leave the board: their net, and the marks or boards at the far end. */
  wires: { net: string; at: Hole; to: string[] }[];
}

/** Text of one board to its meaning. Throws with line number, what is wrong and what was expected. */
export function parseBoard(text: string): Board {
  const board: Board = { title: '', columns: 0, rows: 0, parts: [], cuts: [], links: [], wires: [] };
  text.split(/\r?\n/).forEach((line, index) => {
    try {
      readLine(board, line.replace(/(^|\s)#.*$/, '').trim());
    } catch (error) {
      throw new Error(`line ${index + 1}: ${(error as Error).message}`, { cause: error });
    }
  });
  if (board.columns === 0) throw new Error('no board line; expected: board "Title" COLUMNS,ROWS');
  return board;
}

function readLine(board: Board, line: string): void {
  if (line === '') return;
  const words = [...line.matchAll(/"([^"]*)"|(\S+)/g)].map((match) => match[1] ?? match[2] ?? '');
  const [verb, ...rest] = words;
  if (verb === 'board') {
    const [title = '', size] = rest;
    [board.columns, board.rows] = hole(size);
    board.title = title;
  } else if (verb === 'part') board.parts.push(partOf(rest));
  else if (verb === 'cut') board.cuts.push(...rest.map(hole));
  else if (verb === 'link') {
    if (rest.length < 2) throw new Error('a link needs two holes or more');
    board.links.push(rest.map(hole));
  } else if (verb === 'wire') {
    const [net, at, to] = rest;
    if (net === undefined || to === undefined) throw new Error('expected: wire NET X,Y "to what"');
    board.wires.push({ net, at: hole(at), to: to.split(' ') });
  } else throw new Error(`unknown word ${verb}; expected board, part, cut, link or wire`);
}

function partOf([ref, kind, ...rest]: string[]): PlacedPart {
  const footprint = kind === undefined ? undefined : FOOTPRINTS[kind];
  if (ref === undefined || kind === undefined || footprint === undefined)
    throw new Error(`no kind ${kind ?? 'given'}; there are ${Object.keys(FOOTPRINTS).join(', ')}`);
  return { ref, kind, footprint, pins: pinsOf(ref, footprint, rest) };
}

function pinsOf(ref: string, { pattern, column }: Footprint, rest: string[]): PlacedPart['pins'] {
  if (pattern !== undefined) {
    const [x, y] = hole(rest[0]);
    return pattern.map(({ pin, at }) => ({ pin: named(ref, pin), at: [x + at[0], y + at[1]] }));
  }
  if (column !== undefined) {
    const [first, ...names] = rest;
    const [x, y] = hole(first);
    if (names.length !== column.pins)
      throw new Error(`${ref} has ${column.pins} pins, ${names.length} are named`);
    return names.map((pin, index) => ({ pin: named(ref, pin), at: [x, y + index] }));
  }
  if (rest.length !== 2) throw new Error(`${ref} has two leads; expected: part ${ref} KIND a=X,Y b=X,Y`);
  return rest.map((word) => {
    const [pin, at] = word.split('=');
    return { pin: named(ref, pin ?? ''), at: hole(at) };
  });
}

const named = (ref: string, pin: string): string => (pin.startsWith(':') ? `${ref}${pin}` : `${ref}.${pin}`);

function hole(word: string | undefined): Hole {
  const match = /^(\d+),(\d+)$/.exec(word ?? '');
  if (match === null) throw new Error(`${word ?? 'nothing'} is not a hole; expected COLUMN,ROW`);
  return [Number(match[1]), Number(match[2])];
}
