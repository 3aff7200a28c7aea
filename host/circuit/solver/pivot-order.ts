// In which order the unknowns of a circuit are eliminated, and which entries that fills.

import { byteAt, itemAt, sampleAt } from '../../arrays/index.js';
import { LEAST_PIVOT } from './sparse-lu.js';
import { addAt, type Stamps } from './stamps.js';

/** A pivot is chosen from what is at least this part of the largest left in its row: usual choice, Duff et al., 5.2. */
const CHOSEN_PIVOT_PART = 0.1;

/**
 * Step i takes row `rows[i]`. Its filled entries stand from `starts[i]` up to `starts[i + 1]`: slots eliminated before,
 * at `pivots[i]` the one that it eliminates, and those still to come.
 */
export interface Order {
  size: number;
  rows: Int32Array;
  starts: Int32Array;
  pivots: Int32Array;
  /** Of each entry its slot, and the step that eliminates it. */
  slots: Int32Array;
  steps: Int32Array;
}

/** A row that has not been taken yet, by slot. */
interface Line {
  row: number;
  values: Float64Array;
  filled: Uint8Array;
}

interface Choice {
  line: Line;
  column: number;
}

/**
 * Order for E + weight A of `stamps`, good for every matrix that has entries only where `pattern`, row by row, is 1.
 * Returns the slot that no row determines when the matrix is singular.
 */
export function orderOf(stamps: Stamps, weight: number, pattern: Uint8Array): Order | number {
  const { length } = stamps;
  const linesLeft = linesOf(stamps, weight, pattern);
  const columnsLeft = linesLeft.map(({ row }) => row);
  const choices: Choice[] = [];
  while (linesLeft.length > 0) {
    const choice = choose(linesLeft, columnsLeft, length);
    if (choice === undefined) return undetermined(linesLeft, columnsLeft);
    choices.push(choice);
    const { line: taken, column } = choice;
    linesLeft.splice(linesLeft.indexOf(taken), 1);
    columnsLeft.splice(columnsLeft.indexOf(column), 1);
    const inRow = columnsLeft.filter((j) => taken.filled[j]);
    for (const { values, filled } of linesLeft) {
      if (!filled[column]) continue;
      const factor = sampleAt(values, column) / sampleAt(taken.values, column);
      for (const j of inRow) {
        addAt(values, j, -factor * sampleAt(taken.values, j));
        filled[j] = 1;
      }
    }
  }
  return entriesOf(choices);
}

function linesOf(stamps: Stamps, weight: number, pattern: Uint8Array): Line[] {
  const { a, e, length } = stamps;
  return Array.from({ length: length - 1 }, (_, i) => {
    const row = i + 1;
    const [start, end] = [row * length, (row + 1) * length];
    const line = { row, values: a.slice(start, end), filled: pattern.slice(start, end) };
    if (stamps.isAlgebraic(row)) return line;
    for (let column = 0; column < length; column++)
      line.values[column] = weight * sampleAt(line.values, column);
    for (const entry of e) if (entry.row === row) addAt(line.values, entry.column, entry.value);
    return line;
  });
}

/** The entry that fills least; on the diagonal while one there holds, since a contact that opens leaves that standing. */
function choose(
  linesLeft: readonly Line[],
  columnsLeft: readonly number[],
  length: number,
): Choice | undefined {
  const inColumn = new Float64Array(length);
  for (const { filled } of linesLeft) for (const j of columnsLeft) addAt(inColumn, j, byteAt(filled, j));
  let best: Choice | undefined;
  let least = Number.POSITIVE_INFINITY;
  for (const line of linesLeft) {
    const { row, values, filled } = line;
    let inRow = 0;
    let largest = LEAST_PIVOT;
    for (const j of columnsLeft) {
      inRow += byteAt(filled, j);
      largest = Math.max(largest, Math.abs(sampleAt(values, j)));
    }
    for (const j of columnsLeft) {
      const size = Math.abs(sampleAt(values, j));
      if (!(size >= CHOSEN_PIVOT_PART * largest) || size <= LEAST_PIVOT) continue;
      const fills = (inRow - 1) * (sampleAt(inColumn, j) - 1) + (row === j ? 0 : length * length);
      if (fills >= least) continue;
      least = fills;
      best = { line, column: j };
    }
  }
  return best;
}

const undetermined = (linesLeft: readonly Line[], columnsLeft: readonly number[]): number =>
  columnsLeft.find((column) => linesLeft.every(({ values }) => values[column] === 0)) ??
  itemAt(columnsLeft, 0);

function entriesOf(choices: readonly Choice[]): Order {
  const [starts, pivots, slots, steps]: [number[], number[], number[], number[]] = [[0], [], [], []];
  for (const { line, column } of choices) {
    choices.forEach(({ column: slot }, step) => {
      if (slot === column) pivots.push(slots.length);
      else if (!line.filled[slot]) return;
      slots.push(slot);
      steps.push(step);
    });
    starts.push(slots.length);
  }
  return {
    size: choices.length,
    rows: Int32Array.from(choices, ({ line }) => line.row),
    starts: Int32Array.from(starts),
    pivots: Int32Array.from(pivots),
    slots: Int32Array.from(slots),
    steps: Int32Array.from(steps),
  };
}
