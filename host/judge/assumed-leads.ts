// A throw of which only a current was sampled, with the leads as a usual supply and a good harness would have them: what
// the motor looks like by its current alone. A soft supply or a bad joint both ways is in that motor's resistance.

import { sampleAt } from '../arrays/index.js';
import { type Capture, sliceCapture } from '../capture/index.js';
import type { Segment } from '../measure/index.js';

export interface UsualFeed {
  /** Unloaded. */
  supplyV: number;
  /** From the supply through feed, harness and ground, good ones, Ohm. */
  wayOhm: number;
}

/** Whether nothing but currents was read: neither lead. */
export const hasNoLeads = ({ channels }: Pick<Capture, 'channels'>): boolean =>
  channels.leadAVoltageV === undefined && channels.leadBVoltageV === undefined;

/**
 * From `beforeS` ahead of the throw to its end, or to `brakedS` where a current flows back that brakes it: both leads are
 * grounded then. Where only the feed was sampled its current stands in, with the sign of the throw. Undefined where no
 * current was sampled.
 */
export function withAssumedLeads(
  capture: Capture,
  { of, fromS, toS }: Segment,
  { supplyV, wayOhm }: UsualFeed,
  { beforeS, brakedS }: { beforeS: number; brakedS: number | undefined },
): Capture | undefined {
  const untilS = capture.channels.motorCurrentA ? (brakedS ?? toS) : toS;
  const alone = sliceCapture(capture, fromS - beforeS, untilS);
  const sign = of.position === 'reverse' ? -1 : 1;
  const { motorCurrentA: own, feedCurrentA: feed, supplyVoltageV } = alone.channels;
  const motorCurrentA = own ?? feed?.map((current) => sign * Math.abs(current));
  if (motorCurrentA === undefined) return undefined;
  const isThrown = alone.timeS.map((timeS) => (timeS >= fromS && timeS < toS ? 1 : 0));
  // A supply that was sampled says itself what is lost in it; the rest of the way is small beside the motor.
  const driving = motorCurrentA.map((current, k) => {
    if (sampleAt(isThrown, k) === 0) return 0;
    const sampledV = supplyVoltageV === undefined ? Number.NaN : sampleAt(supplyVoltageV, k);
    return Number.isNaN(sampledV) ? supplyV - wayOhm * Math.abs(current) : sampledV;
  });
  const zero = new Float64Array(motorCurrentA.length);
  return {
    ...alone,
    position: Array.from(isThrown, (is) => (is === 1 ? of.position : 'rest')),
    positionKnown: true,
    channels: {
      motorCurrentA,
      leadAVoltageV: sign > 0 ? driving : zero,
      leadBVoltageV: sign > 0 ? zero : driving,
    },
  };
}
