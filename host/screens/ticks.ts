// Round numbers for a scale: 1, 2 or 5 of a decade.

/** The least of 1, 2, 5 or 10 of a decade that is no smaller than `rough`, which is positive. */
export function niceStep(rough: number): number {
  const decade = 10 ** Math.floor(Math.log10(rough));
  return ([1, 2, 5, 10].find((factor) => factor * decade >= rough) ?? 10) * decade;
}

/** Round values from `low` to `high`, at most about `most` of them, rising; zero among them where it is in sight. */
export function roundTicks(low: number, high: number, most: number): number[] {
  if (!(high > low) || most < 1) return [];
  const step = niceStep((high - low) / most);
  const first = Math.ceil(low / step - 1e-9);
  const last = Math.floor(high / step + 1e-9);
  return Array.from({ length: Math.max(0, last - first + 1) }, (_, i) => {
    const value = (first + i) * step;
    // Steps of 0.1 add up to 0.30000000000000004.
    return Number(value.toPrecision(6)) + 0;
  });
}
