// What corrects a rig's readings on a day: it follows from the points that were noted up to that day.

import { CHANNELS, type Channel } from '../../capture/index.js';
import { known } from '../../fields/index.js';
import { propagate } from '../../measure/index.js';
import type { RigProfile } from '../../profile/index.js';
import type { CalibrationPoint } from '../calibration-store.js';

type Scales = RigProfile['scales'];

/** Corrected value = gain x (reading - zero). */
export interface Correction {
  zero: number;
  gain: number;
  /** Standard uncertainties after the calibration, as a rig profile gives them; absent where no point tells them. */
  offsetUncertainty?: number;
  gainUncertaintyPercent?: number;
  zeroAt?: string;
  loadAt?: string;
}

export interface Calibration {
  rigId: string;
  at: string;
  channels: Partial<Record<Channel, Correction>>;
}

/** What holds for `rigId` at `at`: each channel's newest points up to then, put through the scales of today's profile. */
export function calibrationFor(
  points: readonly CalibrationPoint[],
  rigId: string,
  at: string,
  scales: Scales,
): Calibration {
  const channels: Calibration['channels'] = {};
  const past = points.filter((point) => point.rigId === rigId && point.at <= at);
  for (const channel of CHANNELS) {
    const own = past.filter((point) => point.channel === channel).map((point) => rescaled(point, scales));
    const zero = own.findLast(({ point }) => point === 'zero');
    const load = own.findLast(({ point }) => point === 'load');
    if (!zero && !load) continue;
    // A load was read above the zero of its own day, whatever the zero has become since.
    const loadZero =
      load && (own.findLast(({ point, at: day }) => point === 'zero' && day <= load.at) ?? zero);
    channels[channel] = correctionOf(zero, load, loadZero, scales[channel]);
  }
  return { rigId, at, channels };
}

/** A rig profile's scales with the correction in them. */
export function correctedScales(scales: Scales, { channels }: Calibration): Scales {
  const out = { ...scales };
  for (const channel of CHANNELS) {
    out[channel] = correctedScale(scales[channel], channels[channel]);
  }
  return out;
}

/** One channel's. */
export function correctedScale(scale: Scales[Channel], correction: Correction | undefined): Scales[Channel] {
  if (!correction) return scale;
  const { zero, gain, gainUncertaintyPercent, offsetUncertainty } = correction;
  return {
    atZeroCount: gain * (scale.atZeroCount - zero),
    perCount: gain * scale.perCount,
    gainUncertaintyPercent: gainUncertaintyPercent ?? scale.gainUncertaintyPercent,
    offsetUncertainty: offsetUncertainty ?? scale.offsetUncertainty,
  };
}

/** The point as today's scale would have read the same counts. */
function rescaled(point: CalibrationPoint, scales: Scales): CalibrationPoint {
  const { atZeroCount, perCount } = scales[point.channel];
  if (atZeroCount === point.atZeroCount && perCount === point.perCount) return point;
  const factor = perCount / point.perCount;
  return {
    ...point,
    reading: atZeroCount + factor * (point.reading - point.atZeroCount),
    readingUncertainty: Math.abs(factor) * point.readingUncertainty,
  };
}

function correctionOf(
  zero: CalibrationPoint | undefined,
  load: CalibrationPoint | undefined,
  loadZero: CalibrationPoint | undefined,
  scale: Scales[Channel],
): Correction {
  const exactly = (value: number, standardUncertainty: number) => ({
    ...{ value, standardUncertainty, degreesOfFreedom: Number.POSITIVE_INFINITY },
  });
  const gain =
    load &&
    propagate(
      (loaded, reference, atZero) => reference / (loaded - atZero),
      [
        exactly(load.reading, load.readingUncertainty),
        exactly(load.reference, load.referenceUncertainty),
        exactly(loadZero?.reading ?? 0, loadZero?.readingUncertainty ?? scale.offsetUncertainty),
      ],
    );
  const factor = gain?.value ?? 1;
  return known({
    zero: zero?.reading ?? 0,
    gain: factor,
    offsetUncertainty:
      zero && Math.abs(factor) * Math.hypot(zero.readingUncertainty, zero.referenceUncertainty),
    zeroAt: zero?.at,
    gainUncertaintyPercent: gain && (100 * gain.standardUncertainty) / Math.abs(gain.value),
    loadAt: load?.at,
  });
}
