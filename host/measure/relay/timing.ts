// Operate and release times, bounce and transfer gap over all cycles. Operate: coil on to first closing of the working
// contact, bounce excluded (Panasonic, "Relay terminology: electrical performance"). Release by both usual definitions:
// to the opening of the working contact, and to the first closing of the rest contact (the same glossary).

import { type Measured, type Quantity, quantityOf } from '../quantity.js';
import { summarise } from '../statistics.js';
import type { CycleSeen } from './edges.js';

/** A working contact must be open by then (common practice, no source). */
export const WELD_S = 0.02;

/**
 * Times of the cycles, with what sampling at `stepS` leaves open: each edge lies anywhere between two samples (rectangular,
 * GUM F.2.2.1), independently from cycle to cycle; scatter counts where it is more.
 */
export function timingOf(cycles: readonly CycleSeen[], stepS: number): Measured {
  const measured: Measured = {};
  const put = (name: string, quantity: Quantity | undefined): void => {
    if (quantity) measured[name] = quantity;
  };
  const working = cycles.filter(({ on }) => on === 'working');
  const times = (pick: (cycle: CycleSeen) => number | undefined): number[] =>
    working.flatMap((cycle) => pick(cycle) ?? []);
  put(
    'operateS',
    meanTime(
      times(({ operate }) => operate.closesS),
      stepS,
    ),
  );
  put(
    'operateOpensS',
    meanTime(
      times(({ operate }) => operate.opensS),
      stepS,
    ),
  );
  put(
    'releaseOpensS',
    meanTime(
      times(({ workingOpensS }) => workingOpensS),
      stepS,
    ),
  );
  put(
    'releaseS',
    meanTime(
      times(({ release, after }) => (after === 'rest' ? release.closesS : undefined)),
      stepS,
    ),
  );
  put(
    'makeBounceS',
    longest(
      times(({ operate }) => operate.bounceS),
      stepS,
    ),
  );
  put(
    'breakBounceS',
    longest(
      times(({ release, after }) => (after === 'rest' ? release.bounceS : undefined)),
      stepS,
    ),
  );
  put(
    'operateGapS',
    gapOf(
      working.map(({ operate }) => operate),
      stepS,
    ),
  );
  put(
    'releaseGapS',
    gapOf(
      working.map(({ release }) => release),
      stepS,
    ),
  );
  return measured;
}

const edge = (stepS: number): number => stepS / Math.sqrt(12);

function meanTime(values: readonly number[], stepS: number): Quantity | undefined {
  if (values.length === 0) return undefined;
  const { mean, deviation, count } = summarise(values);
  // Two edges, the coil's and the contact's.
  const resolution = Math.SQRT2 * edge(stepS);
  const scatters = deviation > resolution;
  return quantityOf(mean, 's', [
    {
      standardUncertainty: Math.max(deviation, resolution) / Math.sqrt(count),
      degreesOfFreedom: scatters ? count - 1 : Number.POSITIVE_INFINITY,
    },
  ]);
}

/** The longest of the cycles; what bounces shorter than the sampling is not seen. */
function longest(values: readonly number[], stepS: number): Quantity | undefined {
  if (values.length === 0) return undefined;
  return quantityOf(Math.max(...values), 's', [
    { standardUncertainty: Math.SQRT2 * edge(stepS), degreesOfFreedom: Number.POSITIVE_INFINITY },
  ]);
}

/** Shortest gap of the cycles; a transfer without a visible gap lies between none and one step. */
function gapOf(transfers: readonly CycleSeen['operate'][], stepS: number): Quantity | undefined {
  if (transfers.some(({ gapless }) => gapless)) {
    return quantityOf(stepS / 2, 's', [
      { standardUncertainty: edge(stepS), degreesOfFreedom: Number.POSITIVE_INFINITY },
    ]);
  }
  return meanTime(
    transfers.flatMap(({ opensS, closesS }) =>
      opensS === undefined || closesS === undefined ? [] : [closesS - opensS],
    ),
    stepS,
  );
}
