// Seeded random numbers, the same on every machine: sfc32 (C. Doty-Humphrey, PractRand), 32-bit integer steps only;
// normal deviates by the polar method (Marsaglia and Bray, SIAM Review 6 (1964) 260).

export interface SeededRandom {
  /** In [0, 1). */
  uniform(): number;
  /** Mean 0, deviation 1. */
  normal(): number;
}

/** Rounds that mix a small seed through the whole state; PractRand uses 12 for a 64-bit seed. */
const MIXING_ROUNDS = 15;

/** @throws RangeError for a seed that is no integer. */
export function seededRandom(seed: number): SeededRandom {
  if (!Number.isSafeInteger(seed)) throw new RangeError(`seededRandom: seed ${seed} must be an integer`);
  let a = 0;
  let b = seed | 0;
  let c = Math.floor(seed / 2 ** 32) | 0;
  let counter = 1;
  const next = (): number => {
    const sum = (((a + b) | 0) + counter) | 0;
    counter = (counter + 1) | 0;
    a = b ^ (b >>> 9);
    b = (c + (c << 3)) | 0;
    c = (c << 21) | (c >>> 11);
    c = (c + sum) | 0;
    return sum >>> 0;
  };
  for (let i = 0; i < MIXING_ROUNDS; i++) next();
  const uniform = (): number => next() / 2 ** 32;
  return { uniform, normal: normalFrom(uniform) };
}

/** Normal deviates of mean 0 and deviation 1 from a uniform source; each round of the polar method gives two. */
export function normalFrom(uniform: () => number): () => number {
  let spare: number | undefined;
  return () => {
    if (spare !== undefined) {
      const kept = spare;
      spare = undefined;
      return kept;
    }
    for (;;) {
      const x = 2 * uniform() - 1;
      const y = 2 * uniform() - 1;
      const square = x * x + y * y;
      if (square >= 1 || square === 0) continue;
      const scale = Math.sqrt((-2 * Math.log(square)) / square);
      spare = y * scale;
      return x * scale;
    }
  };
}
