// Parts in the order in which the smallest is looked for.

/** Smallest first; of two as large, the one that came later: a person's own. */
export const bySize = <P>(parts: readonly P[], size: (part: P) => number): P[] =>
  parts.toReversed().sort((one, other) => size(one) - size(other));
