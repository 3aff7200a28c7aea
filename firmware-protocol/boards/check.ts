// Holds a board against the netlist of the sheets: what its strips, links and wires join, what touches, what is missing.

import { type Hole, type Room, roomsOf, WIRE_END_HALF, WIRE_HALF } from './footprints.js';
import type { Board, PlacedPart } from './parse.js';

/** Pin to net, `R40.a` to `PD4`, from nets.csv. */
export function netlistOf(netsCsv: string): Map<string, string> {
  const netOf = new Map<string, string>();
  for (const line of netsCsv.trim().split(/\r?\n/).slice(1)) {
    const [net = '', pins = ''] = line.split(',');
    for (const pin of pins.split(' ')) netOf.set(pin, net);
  }
  return netOf;
}

/** What no sheet shows and each chip needs: its supply pins, and the capacitor across them. */
const UNDRAWN: readonly (readonly [RegExp, string])[] = [
  [/^U\d\.\+$/, '5V0'],
  [/^U\d\.-$/, 'GND'],
  [/^C-U\d\.a$/, '5V0'],
  [/^C-U\d\.b$/, 'GND'],
];

/** Pins of parts on this board that no net has: a strip of their own keeps them apart from all. */
const netOfPin = (netlist: ReadonlyMap<string, string>, pin: string): string =>
  netlist.get(pin) ??
  UNDRAWN.find(([pattern]) => pattern.test(pin))?.[1] ??
  `${pin}, which nothing is joined to`;

/** Everything wrong with the board, in words; empty when nothing is. */
export function faultsOf(board: Board, netlist: ReadonlyMap<string, string>): string[] {
  return [...holeFaults(board), ...roomFaults(board), ...leadFaults(board), ...netFaults(board, netlist)];
}

const key = ([column, row]: Hole): string => `${column},${row}`;

/** One thing in a hole, and every hole on the board. */
function holeFaults(board: Board): string[] {
  const found: string[] = [];
  const taken = new Map<string, string>();
  const take = (at: Hole, what: string): void => {
    const [column, row] = at;
    if (column < 1 || row < 1 || column > board.columns || row > board.rows)
      found.push(`${what} lies beside the board at ${key(at)}`);
    const other = taken.get(key(at));
    if (other !== undefined) found.push(`${what} and ${other} share the hole ${key(at)}`);
    taken.set(key(at), what);
  };
  for (const part of board.parts) for (const { pin, at } of part.pins) take(at, pin);
  for (const link of board.links) for (const at of link) take(at, 'a link');
  for (const { net, at } of board.wires) take(at, `the wire of ${net}`);
  for (const at of board.cuts) take(at, 'a cut');
  return found;
}

/** Bodies, leads, links and wires that touch. */
function roomFaults(board: Board): string[] {
  const things = [
    ...board.parts.map((part) => ({ name: part.ref, rooms: roomsOf(part.footprint, holesOf(part)) })),
    ...board.links.map((link) => ({ name: `the link at ${key(link[0] ?? [0, 0])}`, rooms: [around(link)] })),
    ...board.wires.map(({ net, at }) => ({
      name: `the wire of ${net}`,
      rooms: [around([at], WIRE_END_HALF)],
    })),
  ];
  const found: string[] = [];
  things.forEach((thing, index) => {
    for (const [left, top, right, bottom] of thing.rooms)
      if (left < 0 || top < 0 || right > board.columns + 1 || bottom > board.rows + 1)
        found.push(`${thing.name} stands over the edge`);
    for (const other of things.slice(index + 1))
      if (thing.rooms.some((room) => other.rooms.some((its) => overlap(room, its))))
        found.push(`${thing.name} touches ${other.name}`);
  });
  return found;
}

/** Leads bent farther than they reach, bodies too long to lie and too tall to stand, links that are not straight. */
function leadFaults(board: Board): string[] {
  const found: string[] = [];
  for (const { ref, footprint, pins } of board.parts) {
    const [a, b] = pins;
    if (footprint.leads === undefined || a === undefined || b === undefined) continue;
    const [across, down] = [Math.abs(a.at[0] - b.at[0]), Math.abs(a.at[1] - b.at[1])];
    if (across > 0 && down > 0) found.push(`${ref} lies askew`);
    if (across + down > footprint.leads.reach) found.push(`${ref} is stretched over ${across + down} holes`);
  }
  for (const link of board.links)
    if (link.some(([column]) => column !== link[0]?.[0]))
      found.push(`the link at ${key(link[0] ?? [0, 0])} is not straight`);
  return found;
}

/** Pieces of strip that are one conductor, by a piece's name. */
export function conductors(board: Board): (at: Hole) => string {
  const parent = new Map<string, string>();
  const root = (piece: string): string => {
    const up = parent.get(piece);
    return up === undefined ? piece : root(up);
  };
  const piece = ([column, row]: Hole): string =>
    `${row}/${board.cuts.filter(([cut, its]) => its === row && cut < column).length}`;
  for (const [first, ...others] of board.links)
    for (const other of others) {
      if (first === undefined) continue;
      const [from, to] = [root(piece(first)), root(piece(other))];
      if (from !== to) parent.set(from, to);
    }
  return (at) => root(piece(at));
}

/** Nets that are joined to another, that fall in pieces, or that have no wire to what hangs on them elsewhere. */
function netFaults(board: Board, netlist: ReadonlyMap<string, string>): string[] {
  const found: string[] = [];
  const conductorAt = conductors(board);
  const netOn = new Map<string, string>();
  const piecesOf = new Map<string, Set<string>>();
  const onBoard = new Map<string, Set<string>>();
  const meet = (net: string, at: Hole, what: string): void => {
    const conductor = conductorAt(at);
    const other = netOn.get(conductor);
    if (other !== undefined && other !== net)
      found.push(`${what}: ${net} is joined to ${other} at ${key(at)}`);
    netOn.set(conductor, net);
    piecesOf.set(net, (piecesOf.get(net) ?? new Set()).add(conductor));
  };
  for (const part of board.parts)
    for (const { pin, at } of part.pins) {
      const net = netOfPin(netlist, pin);
      meet(net, at, pin);
      onBoard.set(net, (onBoard.get(net) ?? new Set()).add(pin));
    }
  for (const { net, at, to } of board.wires) {
    if (![...netlist.values()].includes(net)) found.push(`no net ${net} for the wire to ${to.join(' ')}`);
    meet(net, at, `the wire to ${to.join(' ')}`);
  }
  for (const [net, pieces] of piecesOf)
    if (pieces.size > 1) found.push(`${net} falls into ${pieces.size} pieces`);
  for (const part of board.parts)
    for (const pin of pinsInList(netlist, part.ref))
      if (!part.pins.some((its) => its.pin === pin)) found.push(`${pin} has no hole`);
  for (const [net, pins] of onBoard) {
    const elsewhere = [...netlist].filter(([pin, its]) => its === net && !pins.has(pin));
    if (elsewhere.length > 0 && !board.wires.some((wire) => wire.net === net))
      found.push(`${net} has no wire to ${elsewhere.map(([pin]) => pin).join(' ')}`);
  }
  return found;
}

/** Wires that go to what is not on their net, and boards that share a net and no wire. */
export function wiringFaults(
  boards: readonly { name: string; board: Board }[],
  netlist: ReadonlyMap<string, string>,
): string[] {
  const found: string[] = [];
  const wiresOf = (board: Board, net: string): string[] =>
    board.wires.filter((wire) => wire.net === net).flatMap(({ to }) => to);
  for (const { name, board } of boards)
    for (const { net, to } of board.wires)
      for (const end of to) {
        const isBoard = boards.some((other) => other.name === end && wiresOf(other.board, net).length > 0);
        const isPart = pinsInList(netlist, end).some((pin) => netlist.get(pin) === net);
        if (!isBoard && !isPart && !(end === PLATE && net === 'GND'))
          found.push(`${name}: ${net} does not go to ${end}`);
      }
  for (const net of new Set(boards.flatMap(({ board }) => board.wires.map((wire) => wire.net)))) {
    const having = boards.filter(({ board }) => wiresOf(board, net).length > 0);
    const reached = new Set([having[0]?.name ?? '']);
    // What is wired freely is one piece: a builder joins it by nets.csv.
    const ends = (name: string): string[] =>
      having
        .filter((its) => its.name === name)
        .flatMap(({ board }) => wiresOf(board, net))
        .map((end) => (boards.some((other) => other.name === end) ? end : 'free'));
    for (let before = 0; before < reached.size; ) {
      before = reached.size;
      for (const { name } of having)
        for (const end of ends(name)) {
          if (reached.has(name)) reached.add(end);
          if (reached.has(end)) reached.add(name);
        }
    }
    const left = having.filter(({ name }) => !reached.has(name)).map(({ name }) => name);
    if (left.length > 0) found.push(`${net} is not brought to ${left.join(', ')}`);
  }
  return found;
}

/** The sheet of copper that all boards stand on: the ground of them all (RIG.md, 5.11). */
const PLATE = 'plate';

/** On a board with one supply pin the chip's two are one. */
const ONE_PIN: Record<string, string> = { 'U6.AVCC': 'U6.5V' };

const pinsInList = (netlist: ReadonlyMap<string, string>, ref: string): string[] => [
  ...new Set(
    [...netlist.keys()]
      .filter((pin) => pin.startsWith(`${ref}.`) || pin.startsWith(`${ref}:`))
      .map((pin) => ONE_PIN[pin] ?? pin),
  ),
];

const holesOf = ({ pins }: PlacedPart): Hole[] => pins.map(({ at }) => at);

function around(holes: readonly Hole[], half = WIRE_HALF): Room {
  const xs = holes.map(([column]) => column);
  const ys = holes.map(([, row]) => row);
  return [Math.min(...xs) - half, Math.min(...ys) - half, Math.max(...xs) + half, Math.max(...ys) + half];
}

const overlap = (a: Room, b: Room): boolean => a[0] < b[2] && b[0] < a[2] && a[1] < b[3] && b[1] < a[3];
