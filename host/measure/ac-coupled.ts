// A clamp or an input that passes no steady current. A first-order high pass reads y = x - Q/tau of a current x, Q being
// the charge of y itself: while driven it falls towards nothing, and once the current is gone it stands on the other
// side and dies away, y = -Q/tau throughout. A brake dies away too, but not in step with the charge.

import { sampleAt } from '../arrays/index.js';
import type { Capture } from '../capture/index.js';
import { significant } from '../tell/index.js';
import type { CaptureDoubt } from './capture-doubt.js';
import { meanOver, median, noiseOf, quantile } from './statistics.js';

/** Blocks that the record is looked at in; a contact opens within one. */
const BLOCK_S = 0.002;
/** Of the highest: a block that differs so much from the one before it but one has seen a contact. Choice of this program, no source. */
const SUDDEN_PART = 0.1;
/** A motor has run up by then, and so much of it and of the rest behind must be there. Choices of this program, no source. */
const RUN_UP_S = 0.1;
const LEAST_REST_S = 0.06;
/** What stands on the other side behind the release: of the highest, and of the noise. Choices of this program, no source. */
const LEAST_PART = 0.02;
const CLEAR = 6;
/** What the law leaves over of it at most, and how flat the current comes out once the law is undone. Choices of this program, no source. */
const LEFT_OVER = 0.1;
const FLATTER = 0.35;
/** What is left of a current that was all but filtered away before it was let go. Choice of this program, no source. */
const FADED = 0.3;
/** Of what stands on the other side: more left constant is no zero read a little off. Choice of this program, no source. */
const CONSTANT_PART = 0.25;
const LEAST_BLOCKS = 40;

/** Undefined where nothing shows it: the record must begin at rest and hold a throw and the rest behind it. */
export function acCoupling({ channels, timeS }: Capture): CaptureDoubt | undefined {
  const channel = channels.motorCurrentA ? 'motorCurrentA' : 'feedCurrentA';
  const raw = channels[channel];
  const span = timeS.length > 1 ? sampleAt(timeS, timeS.length - 1) - sampleAt(timeS, 0) : 0;
  if (!raw || !(span > 0)) return undefined;
  const stepS = span / (timeS.length - 1);
  const width = Math.max(1, Math.round(BLOCK_S / stepS));
  const tauS = tauOf(
    blocksOf(raw, width),
    width * stepS,
    noiseOf(raw, 0, Math.min(raw.length, 50_000)) / Math.sqrt(width),
  );
  if (tauS === undefined) return undefined;
  return {
    kind: 'ac-coupled',
    isWhole: true,
    channels: ['motorCurrentA', 'feedCurrentA'],
    sentence: `The current reads as through a filter that holds back steady current: it sinks by a time constant of ${significant(tauS, 1, 's')} while driven, and stands on the other side once released. Set clamp and input to DC, zero the clamp, and repeat.`,
  };
}

/** Means of whole blocks, less what was read at the beginning. */
function blocksOf(raw: Float64Array, width: number): Float64Array {
  const count = Math.floor(raw.length / width);
  const blocks = Float64Array.from({ length: count }, (_, k) => meanOver(raw, k * width, (k + 1) * width));
  const zero = median(blocks, 0, Math.min(count, 10));
  return blocks.map((value) => value - zero);
}

function tauOf(y: Float64Array, blockS: number, noiseA: number): number | undefined {
  if (y.length < LEAST_BLOCKS || y.some(Number.isNaN)) return undefined;
  const highest = quantile(y.map(Math.abs), 0.995);
  const isSudden = (k: number): boolean =>
    Math.abs(sampleAt(y, k + 1) - sampleAt(y, k - 1)) > SUDDEN_PART * highest;
  const next = (from: number): number => {
    for (let k = Math.max(1, from); k + 1 < y.length; k++) if (isSudden(k)) return k;
    return y.length;
  };
  const start = next(1);
  const runUp = start + Math.round(RUN_UP_S / blockS);
  const release = next(runUp);
  const from = release + 3;
  const end = Math.min(next(from + 1), y.length) - 1;
  if ((end - from) * blockS < LEAST_REST_S) return undefined;
  const charge = new Float64Array(y.length);
  for (let k = 1; k < y.length; k++)
    charge[k] = sampleAt(charge, k - 1) + ((sampleAt(y, k) + sampleAt(y, k - 1)) / 2) * blockS;
  const stands = Math.abs(median(y, from, from + 10));
  if (stands < Math.max(LEAST_PART * highest, CLEAR * noiseA)) return undefined;
  const tauS = fitted(y, charge, [from, end], { stands, noiseA });
  if (tauS === undefined) return undefined;
  // Undone, the current while driven must come out flat, or have faded away before it was let go.
  const before = release - 3;
  const half = runUp + ((before - runUp) >> 1);
  if (before - half < 5) return undefined;
  const undone = (k: number): number => sampleAt(y, k) + sampleAt(charge, k) / tauS;
  const fallsRaw = meanOver(y, half, half + 5) - meanOver(y, before - 5, before);
  const fallsUndone = undone(half + 2) - undone(before - 3);
  const faded = Math.abs(sampleAt(y, before)) < FADED * stands;
  return faded || Math.abs(fallsUndone) < FLATTER * Math.abs(fallsRaw) - noiseA ? tauS : undefined;
}

/**
 * The time constant by which y = -Q/tau over blocks [from, to); a zero that was read a little off at the beginning adds to
 * the charge all along and may leave a constant. Undefined where the law leaves too much over.
 */
function fitted(
  y: Float64Array,
  charge: Float64Array,
  [from, to]: readonly [number, number],
  { stands, noiseA }: { stands: number; noiseA: number },
): number | undefined {
  const [meanY, meanQ] = [meanOver(y, from, to), meanOver(charge, from, to)];
  const left = (slope: number, constant: number): number => {
    let squares = 0;
    for (let k = from; k < to; k++) squares += (sampleAt(y, k) - constant - slope * sampleAt(charge, k)) ** 2;
    return Math.sqrt(squares / (to - from));
  };
  const slopes = [
    { slope: slopeOf(y, charge, [from, to], [0, 0]), constant: 0 },
    slopeWith(slopeOf(y, charge, [from, to], [meanY, meanQ]), meanY, meanQ),
  ];
  const rmsA = left(0, 0);
  const law = slopes.find(
    ({ slope, constant }) =>
      slope < 0 &&
      Math.abs(constant) < CONSTANT_PART * stands &&
      left(slope, constant) < LEFT_OVER * rmsA + 2 * noiseA,
  );
  return law && -1 / law.slope;
}

const slopeWith = (slope: number, meanY: number, meanQ: number): { slope: number; constant: number } => ({
  slope,
  constant: meanY - slope * meanQ,
});

function slopeOf(
  y: Float64Array,
  x: Float64Array,
  [from, to]: readonly [number, number],
  [y0, x0]: readonly [number, number],
): number {
  let [xy, xx] = [0, 0];
  for (let k = from; k < to; k++) {
    xy += (sampleAt(y, k) - y0) * (sampleAt(x, k) - x0);
    xx += (sampleAt(x, k) - x0) ** 2;
  }
  return xy / xx;
}
