// What a part takes on a board with holes 2.54 mm apart: which holes, and how much room above them. No nets, no drawing.

/** Column and row of a hole, both from 1; a strip runs along a row. */
export type Hole = readonly [column: number, row: number];
/** Left, top, right, bottom in holes. */
export type Room = readonly [number, number, number, number];

export interface Footprint {
  /** Pins in a fixed pattern from the part's first hole; two holes may carry one name. */
  pattern?: readonly { pin: string; at: Hole }[];
  /** Room around the pattern, from its first hole. */
  room?: Room;
  /** Two leads: half the width of the body, its length when it lies flat, and the longest way its leads reach. */
  leads?: { halfWidth: number; length: number; reach: number; stands: boolean };
  /** Three or more pins in a row of holes, in the order that the board's text gives. */
  column?: { pins: number; halfWidth: number; beyond: number };
}

const inColumn = (column: number, firstRow: number, pins: readonly string[]): { pin: string; at: Hole }[] =>
  pins.map((pin, index) => ({ pin, at: [column, firstRow + index] }));

/** Half a lead or a link. */
export const WIRE_HALF = 0.1;
/** Half of what a wire that leaves the board takes: its insulation, or the pin that it is soldered to. */
export const WIRE_END_HALF = 0.44;

/**
 * Sizes are outlines of common makes, as their data sheets have them: 0.25 W resistor 2.4 x 6.5 mm, DO-35 1.9 x 4 mm, DO-41
 * 2.7 x 5.2 mm, DO-15 and 5 W zener diodes 3.6 x 9 mm, 2 W resistor 4 x 11 mm, film capacitor 2.5 x 7.2 mm, TO-220 4.4 x 10.2 mm.
 * Values from memory.
 */
export const FOOTPRINTS: Record<string, Footprint> = {
  resistor: { leads: { halfWidth: 0.47, length: 2.6, reach: 20, stands: true } },
  'resistor-2w': { leads: { halfWidth: 0.8, length: 4.4, reach: 16, stands: false } },
  'diode-small': { leads: { halfWidth: 0.38, length: 1.7, reach: 20, stands: true } },
  diode: { leads: { halfWidth: 0.53, length: 2.1, reach: 18, stands: true } },
  'diode-thick': { leads: { halfWidth: 0.71, length: 3.6, reach: 16, stands: true } },
  capacitor: { leads: { halfWidth: 0.49, length: 2.9, reach: 4, stands: false } },
  /** Leads 5 mm apart; a small body may stand over one hole less. */
  ceramic: { leads: { halfWidth: 0.49, length: 1.6, reach: 4, stands: false } },
  'electrolytic-8mm': { leads: { halfWidth: 1.6, length: 3.2, reach: 2, stands: false } },
  'electrolytic-16mm': { leads: { halfWidth: 3.2, length: 6.4, reach: 3, stands: false } },
  /** The tab, 2.5 mm behind the pins, is the drain: no bare lead beside it, on whichever side it stands. */
  to220: { column: { pins: 3, halfWidth: 1.15, beyond: 1 } },
  /** Pins of a small adapter board that stands upright in its holes. */
  'adapter-7': { column: { pins: 7, halfWidth: 0.49, beyond: 0.5 } },
  /** One amplifier in eight pins: the common order. */
  dip8: {
    pattern: [
      ...inColumn(0, 0, ['nc1', 'n', 'p', '-']),
      ...[['nc8', 0] as const, ['+', 1] as const, ['o', 2] as const, ['nc5', 3] as const].map(
        ([pin, row]) => ({ pin, at: [3, row] as Hole }),
      ),
    ],
    room: [-0.4, -0.5, 3.4, 3.5],
  },
  /** Four amplifiers in fourteen pins: the common order. */
  dip14: {
    pattern: [
      ...inColumn(0, 0, [':1.o', ':1.n', ':1.p', '+', ':2.p', ':2.n', ':2.o']),
      ...inColumn(3, 0, [':4.o', ':4.n', ':4.p', '-', ':3.p', ':3.n', ':3.o']),
    ],
    room: [-0.4, -0.5, 3.4, 6.5],
  },
  /** The common small board of two rows of fifteen pins, its USB socket upwards, in sockets. */
  board30: {
    pattern: [
      ...inColumn(0, 0, [
        'PB5',
        '3V3',
        'AREF',
        'ADC0',
        'ADC1',
        'ADC2',
        'ADC3',
        'ADC4',
        'ADC5',
        'ADC6',
        'ADC7',
      ]),
      ...inColumn(0, 11, ['5V', 'RESET', 'GND', 'VIN']),
      ...inColumn(6, 0, ['PB4', 'PB3', 'PB2', 'PB1', 'PB0', 'PD7', 'PD6', 'PD5', 'PD4', 'PD3', 'PD2', 'GND']),
      ...inColumn(6, 12, ['RESET', 'RXD', 'TXD']),
    ],
    room: [-0.5, -1.4, 6.5, 15.4],
  },
};

/** Room that a part takes: its body and, apart from it, its leads. */
export function roomsOf(footprint: Footprint, holes: readonly Hole[]): Room[] {
  const [first] = holes;
  if (first === undefined) return [];
  const [x, y] = first;
  if (footprint.room !== undefined) {
    const [left, top, right, bottom] = footprint.room;
    return [[x + left, y + top, x + right, y + bottom]];
  }
  const xs = holes.map(([column]) => column);
  const ys = holes.map(([, row]) => row);
  const [left, top, right, bottom] = [Math.min(...xs), Math.min(...ys), Math.max(...xs), Math.max(...ys)];
  if (footprint.column !== undefined) {
    const { halfWidth, beyond } = footprint.column;
    return [[left - halfWidth, top - beyond, right + halfWidth, bottom + beyond]];
  }
  const { halfWidth, length } = footprint.leads ?? { halfWidth: 0.5, length: 0 };
  const leads: Room = [left - WIRE_HALF, top - WIRE_HALF, right + WIRE_HALF, bottom + WIRE_HALF];
  if (isUpright(footprint, holes))
    return [[x - halfWidth, y - halfWidth, x + halfWidth, y + halfWidth], leads];
  const [middleX, middleY] = [(left + right) / 2, (top + bottom) / 2];
  const lies = right > left;
  const [halfX, halfY] = lies ? [length / 2, halfWidth] : [halfWidth, length / 2];
  return [[middleX - halfX, middleY - halfY, middleX + halfX, middleY + halfY], leads];
}

/** A body longer than the way between its holes stands on the first of them, its other lead bent down beside it. */
export function isUpright({ leads }: Footprint, holes: readonly Hole[]): boolean {
  const [a, b] = holes;
  if (leads === undefined || !leads.stands || a === undefined || b === undefined) return false;
  return Math.abs(a[0] - b[0]) + Math.abs(a[1] - b[1]) < leads.length + 0.3;
}
