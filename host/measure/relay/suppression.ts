// What lies across the coil, found with a test current too small to move the armature, both ways round: a diode conducts
// one way, a resistor shows as current that flows before the winding's own has grown.

import type { Quantity } from '../quantity.js';
import type { KnownOhm } from './hook-up.js';

export interface PolaritySeen {
  /** Resistance between the coil's terminals in steady state. */
  terminalOhm: Quantity;
  /** Current at the very start of the step, and the supply. */
  startA?: { value: number; standardUncertainty: number };
  supplyV: number;
}

export type SuppressionSeen =
  | { kind: 'none' }
  | { kind: 'resistor'; ohm: number; standardUncertainty: number }
  /** Current enters a diode at its anode. */
  | { kind: 'diode'; anodeAt: '85' | '86' }
  /** Both ways next to nothing: a shorted coil, or a wire that goes past it. */
  | { kind: 'shorted' }
  | { kind: 'open' }
  | { kind: 'unknown'; why: string };

/** Less than this between the terminals is no winding (6 V relays have 15 to 30 Ohm; common practice). */
const SHORT_OHM = 11;
const OPEN_OHM = 3000;
/** One way round at least this much lower than the other: a diode. Windings differ by nothing. */
const DIODE_RATIO = 0.6;
/** Above this what flows past the winding is its own iron loss, not a resistor (published resistors: 180 to 1000 Ohm). */
const RESISTOR_BELOW_OHM = 2200;

export interface SuppressionRequest {
  marked?: PolaritySeen;
  exchanged?: PolaritySeen;
  coilPath: KnownOhm;
  coilTest: KnownOhm;
}

export function suppressionOf({
  marked,
  exchanged,
  coilPath,
  coilTest,
}: SuppressionRequest): SuppressionSeen {
  if (!marked) return { kind: 'unknown', why: 'no test current was measured' };
  const isShort = ({ terminalOhm }: PolaritySeen): boolean => terminalOhm.value < SHORT_OHM;
  if (marked.terminalOhm.value > OPEN_OHM) return { kind: 'open' };
  if (exchanged) {
    const [a, b] = [marked.terminalOhm.value, exchanged.terminalOhm.value];
    if (isShort(marked) && isShort(exchanged)) return { kind: 'shorted' };
    if (b < DIODE_RATIO * a) return { kind: 'diode', anodeAt: '85' };
    if (a < DIODE_RATIO * b) return { kind: 'diode', anodeAt: '86' };
  } else if (isShort(marked)) {
    return { kind: 'unknown', why: 'the test current meets no winding with plus on 86: a diode, or a short' };
  }
  const across = acrossOhm([marked, ...(exchanged ? [exchanged] : [])], coilPath, coilTest);
  if (across && across.ohm < RESISTOR_BELOW_OHM && across.ohm > 4 * across.standardUncertainty)
    return { kind: 'resistor', ...across };
  if (across && across.ohm > 0 && across.ohm < RESISTOR_BELOW_OHM)
    return { kind: 'unknown', why: 'the start of the test current is not sharp enough' };
  if (!exchanged) return { kind: 'unknown', why: '85 and 86 were not exchanged: a diode would not show' };
  return { kind: 'none' };
}

/** From the current that flows at once: supply over test resistor, path and what lies across, in series. */
function acrossOhm(
  seen: readonly PolaritySeen[],
  coilPath: KnownOhm,
  coilTest: KnownOhm,
): { ohm: number; standardUncertainty: number } | undefined {
  const starts = seen.flatMap(({ startA, supplyV }) => (startA ? [{ ...startA, supplyV }] : []));
  if (starts.length === 0) return undefined;
  const seriesOhm = coilPath.ohm + coilTest.ohm;
  let weight = 0;
  let siemens = 0;
  for (const { value, standardUncertainty, supplyV } of starts) {
    const acrossV = supplyV - value * seriesOhm;
    const u = (standardUncertainty * supplyV) / acrossV ** 2;
    siemens += value / acrossV / u ** 2;
    weight += 1 / u ** 2;
  }
  siemens /= weight;
  return { ohm: 1 / siemens, standardUncertainty: 1 / Math.sqrt(weight) / siemens ** 2 };
}
