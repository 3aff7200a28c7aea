// Demands of several contacts of one part, and a capacity held against a demand.

import type { Carried } from './carried.js';
import type { Bearing, Demand, PlannedPart } from './rating-row.js';

const KEYS = ['runningA', 'startA', 'heldA', 'brakeA', 'reversalA'] as const;

const largest = (all: readonly Carried[]): Carried => {
  const most: Carried = { runningA: 0, startA: 0, heldA: 0, brakeA: 0, reversalA: 0 };
  for (const each of all) for (const key of KEYS) most[key] = Math.max(most[key], each[key]);
  return most;
};

export const demandOf = (parts: readonly PlannedPart[]): Demand => ({
  least: largest(parts.map(({ demand }) => demand.least)),
  most: largest(parts.map(({ demand }) => demand.most)),
});

/** What solving leaves open of a current. */
export const AS_SOLVED = 1.001;

/** Capacity must lie above what it carries: common practice, no source. */
export function bearingOf(capacity: number, least: number, most: number): Bearing {
  if (capacity > AS_SOLVED * most) return 'bears';
  return capacity <= AS_SOLVED * least ? 'does-not-bear' : 'not-known';
}

export const marginOf = (capacity: number, demand: number): number => 100 * (capacity / demand - 1);
