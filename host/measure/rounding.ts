// What is left of a converter's rounding in a mean of readings: noise that moves a reading over the steps averages it away.

/** Terms of the series below; with noise of a hundredth of a step the tenth still counts a little. */
const TERMS = 50;
/** A term below this adds nothing that is seen. */
const VANISHED = 1e-12;
const ALL_TERMS = Math.PI ** 2 / 6;

/**
 * Standard uncertainty that rounding to `step` leaves in a mean of readings that scatter by `deviation`, rounding included.
 * Without scatter step / sqrt(12), a rectangle one step wide (GUM F.2.2.1). With Gaussian noise s in front of the
 * converter the mean errs by sum (-1)^k step / (k pi) exp(-2 (k pi s / step)^2) sin(...) at a place between the steps
 * that nobody knows, so by the root of half the squares (Widrow and Kollar, Quantization Noise, 2008, ch. 19: dither).
 */
export function roundingUncertainty(step: number, deviation: number): number {
  if (!(step > 0)) return 0;
  // The scatter that is seen holds the rounding's own.
  const noise = Math.max(0, (deviation / step) ** 2 - 1 / 12);
  if (noise === 0) return step / Math.sqrt(12);
  let sum = 0;
  for (let k = 1; k <= TERMS; k++) {
    const part = Math.exp(-4 * (k * Math.PI) ** 2 * noise) / (k * k);
    sum += part;
    if (part < VANISHED) break;
  }
  return (step / Math.PI) * Math.sqrt(Math.min(sum, ALL_TERMS) / 2);
}
