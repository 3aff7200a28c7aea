// The virtual bench's dice: one seeded stream of uniform numbers and what is drawn from it. Same seed, same bench.

import { normalFrom } from '../circuit/index.js';

export interface Chance {
  /** Uniform in [0, 1). */
  uniform(): number;
  /** Normal with mean 0 and standard deviation 1. */
  normal(): number;
  /** Normal, cut off at two standard deviations, which count as the half width of a tolerance. */
  withinTolerance(): number;
  between(low: number, high: number): number;
}

/** Mulberry32, a public-domain generator of 32-bit state: ample for noise, not for secrets. */
export function chance(seed: number): Chance {
  let state = seed >>> 0;
  const uniform = (): number => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = state;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
  const normal = normalFrom(uniform);
  return {
    uniform,
    normal,
    withinTolerance: () => Math.max(-1, Math.min(1, normal() / 2)),
    between: (low, high) => low + (high - low) * uniform(),
  };
}
