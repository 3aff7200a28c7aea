// Which line of a running current's spectrum the commutation ripple is. A segment that strikes too deep draws lines at
// the shaft's own rate and its multiples, and these may stand higher than the ripple.

import { sampleAt } from '../arrays/index.js';

/** A line's neighbours three bins off lie below it by this factor: settling and load are slopes, not lines. Choice of this program, no source. */
const STEEP = 4;
const SIDE = 3;
/** Speeds, over the one expected, at which a ripple is looked for: weak magnets run up to twice as fast, a heavy load half. Choice of this program, no source. */
const SLOWEST = 0.45;
const FASTEST = 2.2;
/** A deep segment passes one brush after the other: once or twice a turn. */
const TIMES_A_TURN = [1, 2];

export interface RippleLine {
  bin: number;
  /** The ripple's frequency over that of this line: 1 where the line is the ripple's own. */
  times: number;
}

/** What is known of a spectrum before a line is looked for. */
export interface LineSearch {
  /** Bins below this one are not looked at. */
  lowest: number;
  /** Least power of a line. */
  clear: number;
  /** Ripples in one turn, where known. */
  perTurn: number | undefined;
  /** Where the ripple of a good motor would stand, where known. */
  expectedBin: number | undefined;
}

/** @param power spectrum by bin. Undefined when no line stands clear. */
export function rippleLine(power: Float64Array, search: LineSearch): RippleLine | undefined {
  const { lowest, clear, perTurn, expectedBin } = search;
  const end = power.length - 2;
  const strongest = highestOf(power, lowest, end, clear);
  if (strongest === undefined) return undefined;
  if (perTurn === undefined) return { bin: strongest, times: 1 };
  const lines = linesOf(power, lowest, clear);
  if (expectedBin === undefined) {
    // Nobody says how fast it should turn: a line with another at so many times its rate is the shaft's.
    const isShafts = lines.some((line) => Math.abs(line - perTurn * strongest) <= perTurn / 2);
    return { bin: strongest, times: isShafts ? perTurn : 1 };
  }
  const from = Math.max(lowest, Math.ceil(SLOWEST * expectedBin));
  const to = Math.min(end, Math.floor(FASTEST * expectedBin) + 1);
  const first = lines.find((line) => line < from);
  if (first !== undefined) {
    const off = (times: number): number => Math.abs(Math.log((first * times) / expectedBin));
    const [times] = TIMES_A_TURN.map((count) => perTurn / count)
      .filter((factor) => first * factor >= from && first * factor < to)
      .sort((a, b) => off(a) - off(b));
    if (times !== undefined) return { bin: first, times };
  }
  const near = highestOf(power, from, to, clear);
  return near === undefined ? undefined : { bin: near, times: 1 };
}

/** Highest bin of [from, to) that is clear and no mere end of the range. */
function highestOf(power: Float64Array, from: number, to: number, clear: number): number | undefined {
  let best = from;
  for (let k = from + 1; k < to; k++) if (sampleAt(power, k) > sampleAt(power, best)) best = k;
  return best > from && best < power.length - SIDE && sampleAt(power, best) > clear ? best : undefined;
}

/** Bins that stand clear of the noise and of what lies beside them, ascending. */
function linesOf(power: Float64Array, lowest: number, clear: number): number[] {
  const lines: number[] = [];
  for (let k = lowest + 1; k < power.length - SIDE; k++) {
    const here = sampleAt(power, k);
    if (!(here > clear) || here < sampleAt(power, k - 1) || here < sampleAt(power, k + 1)) continue;
    const beside = Math.max(sampleAt(power, Math.max(0, k - SIDE)), sampleAt(power, k + SIDE));
    if (here > STEEP * beside) lines.push(k);
  }
  return lines;
}
