// Which units of a table are in sight, where each takes its own number of rows.

/** The units around the chosen one that fit into `room` rows: it itself first, then as many after it as before it. */
export function rowsAround(
  heights: readonly number[],
  chosen: number,
  room: number,
): { from: number; to: number } {
  let from = Math.min(chosen, Math.max(0, heights.length - 1));
  let to = Math.min(heights.length, from + 1);
  let left = room - (heights[from] ?? 0);
  for (let isGrown = true; isGrown; ) {
    isGrown = false;
    const after = heights[to];
    if (after !== undefined && after <= left) {
      left -= after;
      to++;
      isGrown = true;
    }
    const before = from > 0 ? heights[from - 1] : undefined;
    if (before !== undefined && before <= left) {
      left -= before;
      from--;
      isGrown = true;
    }
  }
  return { from, to };
}
