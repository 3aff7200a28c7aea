// Commutation ripple of the running current: its frequency and amplitude, when one line stands clear of the noise.

import { type Measured, quantityOf } from './quantity.js';
import type { Trace } from './trace.js';

/** A line must stand so far above the median of the spectrum to be called ripple (false alarm under 1e-4 over 1000 bins of white noise). */
const CLEAR_POWER = 25;

/** Ripple of `current` over [from, to); nothing when none is resolved. Needs 256 unbroken samples. */
export function rippleOf(
  trace: Trace,
  current: Float64Array,
  from: number,
  to: number,
  name: string,
): Measured {
  let size = 256;
  while (size * 2 <= to - from && size < 2048) size *= 2;
  if (to - from < size) return {};
  const start = to - size;
  const real = new Float64Array(size);
  const imaginary = new Float64Array(size);
  let mean = 0;
  for (let i = 0; i < size; i++) {
    const value = current[start + i]!;
    if (Number.isNaN(value)) return {};
    mean += value / size;
  }
  for (let i = 0; i < size; i++) {
    // Hann window: the run is not a whole number of ripple periods.
    real[i] = (current[start + i]! - mean) * (0.5 - 0.5 * Math.cos((2 * Math.PI * i) / size));
  }
  transform(real, imaginary);
  const half = size / 2;
  const power = new Float64Array(half);
  for (let k = 0; k < half; k++) power[k] = real[k]! ** 2 + imaginary[k]! ** 2;
  // Below 20 Hz is load and settling, not commutation.
  const rateHz = 1 / trace.stepS;
  const lowest = Math.max(3, Math.ceil((20 * size) / rateHz));
  let best = lowest;
  for (let k = lowest; k < half - 2; k++) if (power[k]! > power[best]!) best = k;
  const floor = Float64Array.from(power.subarray(lowest)).sort()[(half - lowest) >> 1]!;
  if (!(power[best]! > CLEAR_POWER * floor) || best <= lowest || best >= half - 3) return {};
  // Peak between bins, by a parabola through log power (exact enough for a Hann window: 0.02 bin).
  const [l, c, r] = [Math.log(power[best - 1]!), Math.log(power[best]!), Math.log(power[best + 1]!)];
  const shift = (0.5 * (l - r)) / (l - 2 * c + r);
  const stretch = { fromS: trace.timeS[start]!, toS: trace.timeS[to - 1]! };
  const binHz = rateHz / size;
  const amplitudeA = (4 * Math.sqrt(power[best]! * Math.exp(-0.25 * (l - r) * shift))) / size;
  return {
    [`${name}RippleHz`]: quantityOf(
      (best + shift) * binHz,
      'Hz',
      [{ standardUncertainty: 0.05 * binHz, degreesOfFreedom: 20 }],
      stretch,
    ),
    [`${name}RippleAmplitudeA`]: quantityOf(
      amplitudeA,
      'A',
      [{ standardUncertainty: 0.05 * amplitudeA + (4 * Math.sqrt(floor)) / size, degreesOfFreedom: 20 }],
      stretch,
    ),
  };
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
