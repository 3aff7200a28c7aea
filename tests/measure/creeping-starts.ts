// Starts whose current creeps, written down from plain curves: no motor model and nothing of host/. The level at the
// end, the mean of the last tenth and what the current would settle to are known of each.

import type { Capture, Position } from '../../host/capture/index.js';
import { seededRandom } from '../../host/circuit/index.js';

export interface CreepingStart {
  capture: Capture;
  lengthS: number;
  /** A, of the current without its ripple and noise. */
  truth: { atEndA: number; lastTenthA: number; settledA?: number };
  /** Part of the level a second, at the end. */
  fallsPerS: number;
}

export interface Deck {
  /** Ripple: of a sine with some of its double, or a saw that every segment draws. */
  ripple: 'sine' | 'saw';
  /** Creep: one exponential or a line (half each), or two exponentials at once. */
  creep: 'one' | 'two';
  /** The supply dips once, by a tenth to four tenths, for 20 to 80 ms, and the current with it. */
  dips?: boolean;
}

/** The start `index` of a series; the same whenever it is asked for. */
export function creepingStart(seed: number, index: number, deck: Deck): CreepingStart {
  const random = seededRandom(seed + 6007 * index);
  const between = (low: number, high: number): number => low + (high - low) * random.uniform();
  const spread = (low: number, high: number): number => low * (high / low) ** random.uniform();
  const lengthS = spread(0.3, 5);
  const rateHz = [2000, 5000, 10_000][Math.floor(3 * random.uniform())]!;
  const levelA = spread(1, 10);
  const rate = between(0, 0.05);
  const isLine = deck.creep === 'one' && random.uniform() < 0.5;
  const parts = deck.creep === 'one' ? [1] : [0.6, 0.4];
  const taus = parts.map(() => spread(0.5, 20));
  const settled = isLine ? 1 + rate * lengthS : 1;
  /** Part of the level above 1 at the time. */
  const creep = (t: number): number =>
    isLine
      ? -rate * t
      : parts.reduce((sum, part, k) => sum + part * rate * taus[k]! * Math.exp(-t / taus[k]!), 0);
  const runUp = { times: between(1.5, 5), tauS: spread(0.012, 0.05), riseS: spread(0.0006, 0.002) };
  const smooth = (t: number): number => levelA * (settled + creep(t));
  const segments = deck.ripple === 'saw' ? between(80, 700) : between(100, 900);
  const ripple = {
    part: between(0.01, 0.08),
    turnPart: between(0, 0.02),
    turnHz: segments / (2 * Math.floor(between(4, 8))),
  };
  const noiseA = levelA * spread(0.003, 0.03);
  const phase = [random.uniform(), random.uniform()];
  // Drawn last: the starts of a deck without dips stay what they are.
  const dip = deck.dips
    ? { atS: between(0.2, 0.85) * lengthS, lastsS: between(0.02, 0.08), part: between(0.1, 0.4) }
    : undefined;
  const dipped = (t: number): number => (dip && t > dip.atS && t < dip.atS + dip.lastsS ? 1 - dip.part : 1);
  const before = 0.25;
  const count = Math.round((before + lengthS) * rateHz);
  const timeS = new Float64Array(count);
  const current = new Float64Array(count);
  const position: Position[] = [];
  for (let i = 0; i < count; i++) {
    const t = i / rateHz - before;
    timeS[i] = i / rateHz;
    position.push(t < 0 ? 'rest' : 'forward');
    current[i] = noiseA * random.normal();
    if (t < 0) continue;
    const speed = 1 - Math.exp(-t / runUp.tauS);
    const turns = segments * (t - runUp.tauS * speed) + phase[0]!;
    const wave =
      deck.ripple === 'saw'
        ? 2 * (turns - Math.floor(turns)) - 1
        : Math.sin(2 * Math.PI * turns) + 0.3 * Math.sin(4 * Math.PI * turns);
    const swing =
      1 +
      ripple.part * speed * wave +
      ripple.turnPart * Math.sin(2 * Math.PI * (ripple.turnHz * t + phase[1]!));
    const up = 1 + runUp.times * Math.exp(-t / runUp.tauS);
    current[i] = current[i]! + smooth(t) * dipped(t) * up * swing * -Math.expm1(-t / runUp.riseS);
  }
  const tenth = Array.from({ length: 200 }, (_, k) => smooth(lengthS * (0.9 + (0.1 * (k + 0.5)) / 200)));
  const slope = (smooth(lengthS) - smooth(lengthS - 1e-3)) / 1e-3;
  return {
    capture: {
      timeS,
      position,
      channels: { motorCurrentA: current },
      gaps: [],
      sampleRateHz: rateHz,
      notes: [],
    },
    lengthS,
    truth: {
      atEndA: smooth(lengthS),
      lastTenthA: tenth.reduce((sum, value) => sum + value, 0) / tenth.length,
      ...(isLine ? {} : { settledA: levelA }),
    },
    fallsPerS: -slope / smooth(lengthS),
  };
}
