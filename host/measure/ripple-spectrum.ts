// Spectrum of a stretch of current under a Hann window, and the exact place and size of one of its lines.

import { sampleAt } from '../arrays/index.js';

/** Halvings of the bracket around a line, one bin wide at first: to a millionth of it, far below any noise. */
const REFINEMENTS = 20;

/** `values` less their `mean`, weighed: a run is not a whole number of ripple periods. */
export function hannWeighed(values: Float64Array, mean: number): Float64Array {
  const size = values.length;
  const weighed = new Float64Array(size);
  for (let i = 0; i < size; i++)
    weighed[i] = (sampleAt(values, i) - mean) * (0.5 - 0.5 * Math.cos((2 * Math.PI * i) / size));
  return weighed;
}

/** Power by bin, up to half the sampling rate; the length of `weighed` is a power of two. */
export function powerOf(weighed: Float64Array): Float64Array {
  const real = weighed.slice();
  const imaginary = new Float64Array(weighed.length);
  transform(real, imaginary);
  const power = new Float64Array(weighed.length / 2);
  for (let k = 0; k < power.length; k++) power[k] = sampleAt(real, k) ** 2 + sampleAt(imaginary, k) ** 2;
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
      const value = sampleAt(weighed, i);
      real += value * c;
      imaginary += value * s;
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

function swap(values: Float64Array, i: number, j: number): void {
  const kept = sampleAt(values, i);
  values[i] = sampleAt(values, j);
  values[j] = kept;
}

/** Radix-2 Fourier transform in place (Cooley and Tukey 1965); length a power of two. */
function transform(real: Float64Array, imaginary: Float64Array): void {
  const n = real.length;
  for (let i = 1, j = 0; i < n; i++) {
    let bit = n >> 1;
    for (; j & bit; bit >>= 1) j ^= bit;
    j ^= bit;
    if (i < j) {
      swap(real, i, j);
      swap(imaginary, i, j);
    }
  }
  for (let length = 2; length <= n; length <<= 1) {
    const half = length / 2;
    for (let k = 0; k < half; k++) {
      const angle = (-2 * Math.PI) / length;
      const [cosine, sine] = [Math.cos(angle * k), Math.sin(angle * k)];
      for (let a = k; a < n; a += length) {
        const b = a + half;
        const [ar, ai, br, bi] = [
          sampleAt(real, a),
          sampleAt(imaginary, a),
          sampleAt(real, b),
          sampleAt(imaginary, b),
        ];
        const turnedR = br * cosine - bi * sine;
        const turnedI = br * sine + bi * cosine;
        real[b] = ar - turnedR;
        imaginary[b] = ai - turnedI;
        real[a] = ar + turnedR;
        imaginary[a] = ai + turnedI;
      }
    }
  }
}
