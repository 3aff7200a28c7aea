// Operate and release times, bounce and transfer gap over all cycles. Operate: coil on to first closing of the working
// contact, bounce excluded (Panasonic, "Relay terminology: electrical performance"). Release by both usual definitions:
// to the opening of the working contact, and to the first closing of the rest contact (the same glossary).

import { lineOf, type Quantity, quantityOf } from '../quantity.js';
import { present, type Told } from '../reading.js';
import { summarise } from '../statistics.js';
import type { CycleSeen, Transfer } from './edges.js';

/** A working contact must be open by then (common practice, no source). */
export const WELD_S = 0.02;

/**
 * Times of the cycles, with what sampling at `stepS` leaves open: each edge lies anywhere between two samples (rectangular,
 * GUM F.2.2.1), independently from cycle to cycle; scatter counts where it is more.
 */
export function timingOf(cycles: readonly CycleSeen[], stepS: number): Told {
  const working = cycles.filter(({ on }) => on === 'working');
  const returned = working.filter(({ after }) => after === 'rest');
  const times = (of: readonly CycleSeen[], pick: (cycle: CycleSeen) => number | undefined): number[] =>
    of.flatMap((cycle) => pick(cycle) ?? []);
  const mean = (values: readonly number[]) => meanTime(values, stepS);
  const most = (values: readonly number[]) => longest(values, stepS);
  const gap = (pick: (cycle: CycleSeen) => Transfer) => gapOf(working.map(pick), stepS);
  return present({
    operateS: mean(times(working, ({ operate }) => operate.closesS)),
    operateOpensS: mean(times(working, ({ operate }) => operate.opensS)),
    releaseOpensS: mean(times(working, ({ workingOpensS }) => workingOpensS)),
    releaseS: mean(times(returned, ({ release }) => release.closesS)),
    makeBounceS: most(times(working, ({ operate }) => operate.bounceS)),
    breakBounceS: most(times(returned, ({ release }) => release.bounceS)),
    operateGapS: gap(({ operate }) => operate),
    releaseGapS: gap(({ release }) => release),
  });
}

const edge = (stepS: number): number => stepS / Math.sqrt(12);

function meanTime(values: readonly number[], stepS: number): Quantity | undefined {
  if (values.length === 0) return undefined;
  const { mean, deviation, count } = summarise(values);
  // Two edges, the coil's and the contact's.
  const resolution = Math.SQRT2 * edge(stepS);
  const scatters = deviation > resolution;
  return quantityOf(mean, 's', [
    lineOf(Math.max(deviation, resolution) / Math.sqrt(count), 'scatter', scatters ? count - 1 : undefined),
  ]);
}

/** The longest of the cycles; what bounces shorter than the sampling is not seen. */
function longest(values: readonly number[], stepS: number): Quantity | undefined {
  if (values.length === 0) return undefined;
  return quantityOf(Math.max(...values), 's', [lineOf(Math.SQRT2 * edge(stepS), 'sampling')]);
}

/** Shortest gap of the cycles; a transfer without a visible gap lies between none and one step. */
function gapOf(transfers: readonly Transfer[], stepS: number): Quantity | undefined {
  if (transfers.some(({ gapless }) => gapless)) {
    return quantityOf(stepS / 2, 's', [lineOf(edge(stepS), 'sampling')]);
  }
  return meanTime(
    transfers.flatMap(({ opensS, closesS }) =>
      opensS === undefined || closesS === undefined ? [] : [closesS - opensS],
    ),
    stepS,
  );
}
