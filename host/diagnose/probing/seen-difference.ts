// How far apart two readings of one measurement are to a person with a meter.

import type { ProbeReading } from './probe.js';

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
