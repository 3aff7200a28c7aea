// Cells of a drawing and the dots in each: braille holds two by four, half blocks one by two; plain ASCII has one sign for
// a cell and is drawn at half blocks' height all the same. Bits count from the top, column by column.

export type Dots = 'braille' | 'blocks' | 'ascii';

export interface DotKind {
  /** Dots of a cell. */
  across: number;
  down: number;
  /** Sign of a cell with these dots; a blank for none. */
  sign(bits: number): string;
  /** Where nothing but the band lies: sparse, so that a line stands out from it. */
  band(bits: number, column: number): string;
  zero: string;
  trip: string;
  cursor: string;
}

/** Bits 0 to 3 are the left column from the top, 4 to 7 the right (Unicode chapter 21.1, dots 1 2 3 7 and 4 5 6 8). */
const BRAILLE_DOTS = [0x01, 0x02, 0x04, 0x40, 0x08, 0x10, 0x20, 0x80];
const braille = (bits: number): string =>
  bits === 0
    ? ' '
    : String.fromCodePoint(
        0x2800 + BRAILLE_DOTS.reduce((sum, dot, i) => sum + ((bits >> i) & 1 ? dot : 0), 0),
      );

/** One dot in four, staggered from column to column. */
const SPARSE = [0b0010_1000, 0b1000_0010];

const halves = (bits: number): string => [' ', '▀', '▄', '█'][bits] ?? ' ';

export const DOTS: Readonly<Record<Dots, DotKind>> = {
  braille: {
    ...{ across: 2, down: 4, sign: braille, zero: '─', trip: '╌', cursor: '│' },
    // A band thinner than the pattern still shows.
    band: (bits, column) => braille(bits & (SPARSE[column % 2] ?? 0) || bits & -bits),
  },
  blocks: {
    ...{ across: 1, down: 2, sign: halves, zero: '─', trip: '╌', cursor: '│' },
    band: () => '░',
  },
  ascii: {
    ...{ across: 1, down: 2, sign: (bits) => (bits === 0 ? ' ' : '#'), zero: '-', trip: '=', cursor: '|' },
    band: () => ':',
  },
};
