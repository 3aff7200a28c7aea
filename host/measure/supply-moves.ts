// Where the supply itself moved while a throw was held, a dip of the battery or of its clips: what the motor does there
// and until it has run up again is the supply's doing.

import { sampleAt } from '../arrays/index.js';
import { runsWhere } from './runs.js';
import { median } from './statistics.js';
import { samplesIn, type Trace } from './trace.js';

export interface SupplyMove {
  fromS: number;
  toS: number;
  /** Furthest from what it stood at otherwise. */
  extremeV: number;
  usualV: number;
  /** Samples [from, to) of it, and up to where the motor has run up again. */
  from: number;
  to: number;
  until: number;
  /** The supply was not sampled: the voltage is the motor's, and what lies between them may have moved it. */
  isUnseen?: true;
}

/** Less is ripple of a charger and drop of the leads (common practice, no source). */
const MOVED_PART = 0.04;
const MOVED_V = 0.3;
/** What current drops in leads and source up to here is the load's doing, no move of the supply (a tired battery, common practice). */
const SOURCE_OHM = 0.6;
/** Shorter is commutation or a contact. */
const SHORTEST_S = 0.003;
/** Gaps within one move. */
const JOINED_S = 0.02;
/** Of the usual current: less flows behind a contact that has opened. Choice of this program, no source. */
const FLOWS_PART = 0.3;
/** Two to three mechanical time constants of the motors met here (common practice, no source). */
const RECOVERY_S = 0.12;
/** A start takes less than half of it (settling in a tenth of a second, published starts of small PM motors). */
const LONG_S = 0.4;
/** Ripple and noise go from a mean over so long. */
const SMOOTH_S = 0.002;

/**
 * Moves of the supply over samples [from, to), judged by its median and the current's over [usualFrom, to). A fall that
 * a larger current makes behind up to 0.6 Ohm is none. Where the supply was not sampled, the voltage between the leads
 * stands in for it while current flows. Empty where neither was sampled.
 */
export function supplyMoves(
  trace: Trace,
  current: Float64Array,
  [from, to]: readonly [number, number],
  usualFrom: number,
): SupplyMove[] {
  const isUnseen = trace.channels.supplyVoltageV === undefined;
  const supply = trace.channels.supplyVoltageV ?? trace.motorVoltageV?.map(Math.abs);
  if (!supply || to - usualFrom < 3) return [];
  // Of a throw that is long beside its start, what stood longest in all of it: a dip may fill its later half.
  const usualSince = (to - from) * trace.stepS > LONG_S ? from : usualFrom;
  const usualV = median(supply, usualSince, to);
  const usualA = Math.abs(median(current, usualSince, to));
  const least = Math.max(MOVED_V, MOVED_PART * usualV);
  const half = Math.max(0, Math.round(samplesIn(trace, SMOOTH_S / 2)));
  const near = (values: Float64Array, i: number): number => {
    let sum = 0;
    let count = 0;
    for (let k = Math.max(from, i - half); k <= Math.min(to - 1, i + half); k++) {
      const value = sampleAt(values, k);
      if (Number.isNaN(value)) continue;
      sum += value;
      count++;
    }
    return sum / count;
  };
  const isOut = (i: number): boolean => {
    const offV = sampleAt(supply, i) - usualV;
    if (!(Math.abs(offV) > least)) return false;
    const meanV = near(supply, i) - usualV;
    const byLoadV = -SOURCE_OHM * (Math.abs(near(current, i)) - usualA);
    // What the current may have done has its sign and at most its size.
    const left = byLoadV * meanV > 0 ? Math.max(0, Math.abs(meanV) - Math.abs(byLoadV)) : Math.abs(meanV);
    return left > least;
  };
  const joined: { from: number; to: number }[] = [];
  for (const run of runsWhere(from, to, isOut)) {
    const last = joined.at(-1);
    if (last && run.from - last.to < samplesIn(trace, JOINED_S)) last.to = run.to;
    else joined.push({ from: run.from, to: run.to });
  }
  return joined.flatMap((move): SupplyMove[] => {
    if ((move.to - move.from) * trace.stepS < SHORTEST_S) return [];
    const lateA = Math.abs(median(current, (move.from + move.to) >> 1, move.to));
    if (isUnseen && !(lateA > FLOWS_PART * usualA)) return [];
    let extremeV = usualV;
    for (let i = move.from; i < move.to; i++) {
      const value = sampleAt(supply, i);
      if (Math.abs(value - usualV) > Math.abs(extremeV - usualV)) extremeV = value;
    }
    return [
      {
        ...move,
        fromS: sampleAt(trace.timeS, move.from),
        toS: sampleAt(trace.timeS, move.to - 1) + trace.stepS,
        ...{ extremeV, usualV },
        ...(isUnseen ? { isUnseen } : {}),
        until: Math.min(to, move.to + Math.round(samplesIn(trace, RECOVERY_S))),
      },
    ];
  });
}
