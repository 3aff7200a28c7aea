// Spectrum of a stretch of current under a Hann window, and the exact place and size of one of its lines.

/** Halvings of the bracket around a line, one bin wide at first: to a millionth of it, far below any noise. */
const REFINEMENTS = 20;

/** `size` samples from `start` less their `mean`, weighed: a run is not a whole number of ripple periods. */
export const hannWeighed = (values: Float64Array, start: number, size: number, mean: number): Float64Array =>
  Float64Array.from(
    { length: size },
    (_, i) => (values[start + i]! - mean) * (0.5 - 0.5 * Math.cos((2 * Math.PI * i) / size)),
  );

/** Power by bin, up to half the sampling rate; the length of `weighed` is a power of two. */
export function powerOf(weighed: Float64Array): Float64Array {
  const real = weighed.slice();
  const imaginary = new Float64Array(weighed.length);
  transform(real, imaginary);
  const power = new Float64Array(weighed.length / 2);
  for (let k = 0; k < power.length; k++) power[k] = real[k]! ** 2 + imaginary[k]! ** 2;
  return power;
}

/** Peak within half a bin of `best`, by halving a bracket; amplitude of its tone. Without refinements, at `best` itself. */
export function peakNear(
  weighed: Float64Array,
  best: number,
  refinements = REFINEMENTS,
): { bins: number; amplitudeA: number } {
  const size = weighed.length;
  const powerAt = (bins: number): number => {
    // A turning pointer instead of a sine at each sample.
    const turn = (2 * Math.PI * bins) / size;
    const [stepC, stepS] = [Math.cos(turn), Math.sin(turn)];
    let [c, s, real, imaginary] = [1, 0, 0, 0];
    for (let i = 0; i < size; i++) {
      real += weighed[i]! * c;
      imaginary += weighed[i]! * s;
      [c, s] = [c * stepC - s * stepS, s * stepC + c * stepS];
    }
    return real * real + imaginary * imaginary;
  };
  let bins = best;
  let power = powerAt(bins);
  for (let width = 0.5, n = 0; n < refinements; width /= 2, n++) {
    for (const side of [-width, width]) {
      const there = powerAt(bins + side);
      if (there > power) {
        bins += side;
        power = there;
        break;
      }
    }
  }
  return { bins, amplitudeA: (4 * Math.sqrt(power)) / size };
}

/** Radix-2 Fourier transform in place (Cooley and Tukey 1965); length a power of two. */
function transform(real: Float64Array, imaginary: Float64Array): void {
  const n = real.length;
  for (let i = 1, j = 0; i < n; i++) {
    let bit = n >> 1;
    for (; j & bit; bit >>= 1) j ^= bit;
    j ^= bit;
    if (i < j) {
      [real[i], real[j]] = [real[j]!, real[i]!];
      [imaginary[i], imaginary[j]] = [imaginary[j]!, imaginary[i]!];
    }
  }
  for (let length = 2; length <= n; length <<= 1) {
    const angle = (-2 * Math.PI) / length;
    for (let start = 0; start < n; start += length) {
      for (let k = 0; k < length / 2; k++) {
        const wr = Math.cos(angle * k);
        const wi = Math.sin(angle * k);
        const a = start + k;
        const b = a + length / 2;
        const xr = real[b]! * wr - imaginary[b]! * wi;
        const xi = real[b]! * wi + imaginary[b]! * wr;
        real[b] = real[a]! - xr;
        imaginary[b] = imaginary[a]! - xi;
        real[a] = real[a]! + xr;
        imaginary[a] = imaginary[a]! + xi;
      }
    }
  }
}
