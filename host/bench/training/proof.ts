// Which readings prove what was hidden: those that lie furthest from what the same unit would read with nothing wrong.

import {
  type CircuitsInPieces,
  type ProbeChoice,
  type ProbeReading,
  seenDifference,
} from '../../diagnose/index.js';

export interface Proof {
  probeId: string;
  question: string;
  reading: ProbeReading;
  /** The same reading with nothing wrong. */
  goodValue: number;
  /** How it had to be measured, where that differs. */
  note?: string;
}

/** Every reading of the menu, with and without the fault, furthest apart first. */
export function proofs(
  menu: readonly ProbeChoice[],
  faulty: CircuitsInPieces,
  good: CircuitsInPieces,
): Proof[] {
  return menu
    .flatMap(({ id, question, ask }) => {
      const { readings: here, note } = ask(faulty);
      const there = ask(good).readings;
      return here.map((reading, i): Proof & { seen: number } => {
        const goodValue = there[i]?.value ?? Number.NaN;
        const seen = seenDifference(reading, goodValue);
        return { probeId: id, question, reading, goodValue, ...(note === undefined ? {} : { note }), seen };
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
