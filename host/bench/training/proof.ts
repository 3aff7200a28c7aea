// Which readings prove what was hidden: those that lie furthest from what the same unit would read with nothing wrong.

import type { ProbeChoice, ProbeReading } from './probes.js';
import type { TrueCircuits } from './true-circuits.js';

export interface Proof {
  probeId: string;
  question: string;
  reading: ProbeReading;
  /** The same reading with nothing wrong. */
  goodValue: number;
}

/** Differences that a person sees on a meter, by unit; a resistance is seen by its ratio. */
const SEEN_V = 0.15;
const SEEN_A = 0.15;
const SEEN_COIL_A = 0.015;
const SEEN_PART = 0.05;
/** So much of a decade counts as one seen difference. */
const SEEN_DECADES = 0.1;
const LEAST_OHM = 0.05;
const MOST_OHM = 1e6;
/** A reading that is lost or that appears counts no more than this many seen differences, so that several can compete. */
const MOST_SEEN = 60;

/** Every reading of the menu, with and without the fault, furthest apart first. */
export function proofs(menu: readonly ProbeChoice[], faulty: TrueCircuits, good: TrueCircuits): Proof[] {
  return menu
    .flatMap(({ id, question, ask }) => {
      const here = ask(faulty).readings;
      const there = ask(good).readings;
      return here.map((reading, i): Proof & { seen: number } => {
        const goodValue = there[i]?.value ?? Number.NaN;
        return { probeId: id, question, reading, goodValue, seen: seenDifference(reading, goodValue) };
      });
    })
    .sort((a, b) => b.seen - a.seen)
    .map(({ seen: _, ...proof }) => proof);
}

/** The best of all, and the best of another measurement. */
export function twoProofs(all: readonly Proof[]): Proof[] {
  const [first] = all;
  if (first === undefined) return [];
  const second = all.find(({ probeId }) => probeId !== first.probeId);
  return second ? [first, second] : [first];
}

/** In differences that a person would see; 0 where nothing was read. */
export function seenDifference({ value, unit, label }: ProbeReading, goodValue: number): number {
  if (Number.isNaN(value) || Number.isNaN(goodValue) || value === goodValue) return 0;
  if (unit === 'Ohm') {
    const decades = Math.abs(Math.log10(limited(value) / limited(goodValue)));
    return Math.min(MOST_SEEN, decades / SEEN_DECADES);
  }
  const floor = unit === 'V' ? SEEN_V : /coil/i.test(label) ? SEEN_COIL_A : SEEN_A;
  return Math.min(MOST_SEEN, Math.abs(value - goodValue) / Math.max(floor, SEEN_PART * Math.abs(goodValue)));
}

const limited = (ohm: number): number => Math.min(MOST_OHM, Math.max(LEAST_OHM, ohm));
