// The boards of the reference rig against the netlist that the sheets are drawn from: what strips, links and wires join, what
// touches, what is missing, what must not be there. Each kind of mistake is made once, so that the program is seen to find it.

import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { faultsOf, netlistOf, wiringFaults } from '../../firmware-protocol/boards/check.js';
import { drawBoards } from '../../firmware-protocol/boards/draw.js';
import { type Board, parseBoard } from '../../firmware-protocol/boards/parse.js';

/** What must be there. */
function present<T>(item: T | undefined): T {
  if (item === undefined) throw new Error('the page or the boards lack what this test looks for');
  return item;
}

const read = (name: string): string => readFileSync(`firmware-protocol/${name}`, 'utf8');
const netlist = netlistOf(read('nets.csv'));
const drawings = drawBoards();
const boards = drawings.map(({ name, text }) => ({ name, board: parseBoard(text) }));
const boardNamed = (name: string): Board => present(boards.find((its) => its.name === name)).board;
const marks = read('parts.csv')
  .trim()
  .split(/\r?\n/)
  .slice(1)
  .map((line) => present(line.split(',')[0]));
const page = read('RIG.md');
const freely = present(page.split('Still wired freely')[1])
  .split('\n')
  .filter((line) => line.startsWith('| '))
  .slice(1);
const apart = freely
  .slice(0, freely.findIndex((line) => line.startsWith('| COIL-FEED')) + 1)
  .map((line) => present(line.split('|')[1]).trim())
  .filter((cell) => !cell.startsWith('-'))
  .flatMap((cell) => cell.split(', '));

describe('the boards', () => {
  it('are drawn from their texts', () => {
    expect(drawings.map(({ name }) => name)).toEqual(['controller', 'throw', 'currents', 'voltages']);
    for (const { svg, svgPath } of drawings) expect(readFileSync(svgPath, 'utf8'), svgPath).toBe(svg);
  });

  it.each(boards)('$name: every net joined, none with another, nothing over another', ({ board }) => {
    expect(faultsOf(board, netlist)).toEqual([]);
  });

  it('are joined to each other and to the plate, and each wire goes to what hangs on its net', () => {
    expect(wiringFaults(boards, netlist)).toEqual([]);
  });

  it('carry every part of the list once, or the page says where it is', () => {
    const placed = boards.flatMap(({ board }) => board.parts.map(({ ref }) => ref));
    const listed = placed.filter((ref) => !ref.startsWith('C-U'));
    expect([...listed, ...apart].sort()).toEqual([...marks].sort());
    // The further 100 nF of the list: one at each chip.
    expect(placed.filter((ref) => ref.startsWith('C-U')).sort()).toEqual([
      'C-U1',
      'C-U2',
      'C-U3',
      'C-U4',
      'C-U7',
    ]);
  });

  it('say their size on the page', () => {
    for (const { name, board } of boards)
      expect(page, name).toMatch(
        new RegExp(`boards/\\d-${name}\\.svg\\) +\\| ${board.columns} x ${board.rows} `),
      );
  });

  it('have the motor’s current on no strip: only resistors that sense it hang on its nets', () => {
    const isPower = (pin: string): boolean =>
      /^(RS[12]\.[ab]|F[14]\.|S0\.|R1\.|K\w+:\d\.|(FEED|LEAD-[AB]|MOTOR-[AB])\.t)/.test(pin);
    const power = new Set([...netlist].filter(([pin]) => isPower(pin)).map(([, net]) => net));
    expect(power.size).toBeGreaterThan(10);
    const rated = new Map(
      read('parts.csv')
        .split(/\r?\n/)
        .map((line) => [present(line.split(',')[0]), line]),
    );
    const there = boards.flatMap(({ board }) =>
      board.parts.flatMap(({ ref, pins }) =>
        pins.filter(({ pin }) => power.has(netlist.get(pin) ?? '')).map(() => rated.get(ref) ?? ref),
      ),
    );
    expect(there).toHaveLength(2);
    for (const part of there) expect(part).toMatch(/resistor (47|150) kΩ/);
    for (const mark of ['RS1', 'RS2', 'RS3', 'KS', 'KB', 'KL', 'KF', 'KR', 'F1', 'F2', 'F3', 'F4', 'R1'])
      expect(apart).toContain(mark);
  });

  it('keep each filter within 10 mm of its pin, and each ground by two wires near either end (RIG.md, 5.11)', () => {
    const { parts } = boardNamed('controller');
    const pinAt = new Map(parts.flatMap(({ pins }) => pins.map(({ pin, at }) => [pin, at] as const)));
    for (const mark of ['C3', 'C11', 'C13', 'C4', 'C5', 'C15', 'C16', 'C20']) {
      const [x, y] = present(pinAt.get(`${mark}.a`));
      const [toX, toY] = present(pinAt.get(`U6.${netlist.get(`${mark}.a`)}`));
      expect(Math.hypot(x - toX, y - toY) * 2.54, mark).toBeLessThan(10);
    }
    for (const { name, board } of boards) {
      const columns = board.wires.filter(({ to }) => to.includes('plate')).map(({ at }) => at[0]);
      expect(columns, name).toHaveLength(2);
      expect(Math.max(...columns) - Math.min(...columns), name).toBeGreaterThan(0.75 * board.columns);
    }
    // No wire between the ground of the microcontroller and that of the transistors that feed the unit.
    for (const mark of ['U6', 'Q1', 'Q2']) expect(parts.map(({ ref }) => ref)).toContain(mark);
  });
});

describe('a mistake on a board is found:', () => {
  const throwBoard = boardNamed('throw');
  const found = (change: Partial<Board>): string =>
    faultsOf({ ...throwBoard, ...change }, netlist).join('\n');
  const moved = (ref: string, across: number, down: number): Board['parts'] =>
    throwBoard.parts.map((part) =>
      part.ref !== ref
        ? part
        : {
            ...part,
            pins: part.pins.map(({ pin, at: [x, y] }) => ({ pin, at: [x + across, y + down] as const })),
          },
    );

  it('each cut that is forgotten', () => {
    for (const { name, board } of boards)
      board.cuts.forEach((at, index) => {
        const cuts = board.cuts.filter((_cut, its) => its !== index);
        expect(faultsOf({ ...board, cuts }, netlist).join('\n'), `${name} ${at.join(',')}`).toContain(
          'is joined to',
        );
      });
  });

  it('each link that is forgotten, but the second of two that join one ground', () => {
    for (const { board } of boards) {
      const spare = board.links.filter(
        (_link, index) =>
          faultsOf({ ...board, links: board.links.filter((_its, at) => at !== index) }, netlist).length === 0,
      );
      expect(spare.length).toBeLessThanOrEqual(2);
      expect(spare.length).toBeLessThan(board.links.length);
    }
  });

  it('a part beside its holes, over another, over the edge', () => {
    expect(found({ parts: moved('R52', 0, 1) })).toMatch(/R52\.[ab]: .* joined to|falls into/);
    expect(found({ parts: moved('R54', 1, 0) })).toContain('touches');
    expect(found({ parts: moved('Q14', 0, -1) })).toContain('over the edge');
  });

  it('a diode turned round', () => {
    const parts = throwBoard.parts.map((part) => {
      const [first, second] = part.pins;
      if (part.ref !== 'DKF' || first === undefined || second === undefined) return part;
      return {
        ...part,
        pins: [
          { ...first, at: second.at },
          { ...second, at: first.at },
        ],
      };
    });
    expect(found({ parts })).toContain('is joined to');
  });

  it('a wire left out, a wire to the wrong place', () => {
    expect(found({ wires: throwBoard.wires.filter(({ net }) => net !== 'KF_LOW') })).toContain(
      'KF_LOW has no wire to KF.b',
    );
    const wires = throwBoard.wires.map((wire) => (wire.net === 'KF_LOW' ? { ...wire, to: ['KR'] } : wire));
    const others = boards.map((its) =>
      its.name === 'throw' ? { ...its, board: { ...throwBoard, wires } } : its,
    );
    expect(wiringFaults(others, netlist)).toEqual(['throw: KF_LOW does not go to KR']);
  });

  it.each([
    ['part R1 lamp 1,1', 'line 1: no kind lamp'],
    ['board "B" 5,5\npart R1 resistor a=1,1', 'line 2: R1 has two leads'],
    ['board "B" 5,5\ncut 1;1', 'line 2: 1;1 is not a hole'],
    ['solder 1,1', 'line 1: unknown word solder'],
    ['# nothing', 'no board line'],
  ])('in the text, with its line: %s', (text, told) => {
    expect(() => parseBoard(text)).toThrow(told);
  });
});
