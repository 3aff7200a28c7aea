// Trip limits in amperes turned into what the board understands, with one clear line for a limit it cannot hold.

import { BOARD, REQUESTS } from '../../firmware-protocol/index.js';
import { CHANNEL } from '../capture/index.js';
import type { RigProfile } from '../profile/index.js';
import { amount, fixed } from '../tell/index.js';

const [MOTOR_FIELD, FEED_FIELD, SAMPLES_FIELD] = REQUESTS['set-trip'].args;

/** Throws a RangeError that names the limit, its value and what the rig can hold. */
export function tripCounts(
  limits: RigProfile['trip'],
  scales: RigProfile['scales'],
): { motorCounts: number; feedCounts: number; samples: number } {
  const { motorCurrentA: motor, feedCurrentA: feed } = scales;
  const feedA = (count: number): number => feed.atZeroCount + count * feed.perCount;
  return {
    // The board measures the distance from its middle count, either way.
    motorCounts: within(
      CHANNEL.motorCurrentA.words,
      limits.motorCurrentA,
      Math.round(limits.motorCurrentA / motor.perCount),
      MOTOR_FIELD,
      (count) => count * motor.perCount,
    ),
    feedCounts: within(
      CHANNEL.feedCurrentA.words,
      limits.feedCurrentA,
      Math.round((limits.feedCurrentA - feed.atZeroCount) / feed.perCount),
      FEED_FIELD,
      feedA,
    ),
    samples: within('samples in a row', limits.samples, limits.samples, SAMPLES_FIELD, (count) => count),
  };
}

/** The middle count must read zero on this rig, or the board's trip would be lopsided. */
export function checkMotorZero(scales: RigProfile['scales']): void {
  const { atZeroCount, perCount } = scales.motorCurrentA;
  const atMiddleA = atZeroCount + BOARD.motorZeroCount * perCount;
  if (Math.abs(atMiddleA) > 2 * perCount) {
    throw new RangeError(
      `by the rig profile the motor current reads ${amount(atMiddleA, 'A', 3)} at count ${BOARD.motorZeroCount}; the board trips around that count, so it must read 0 A`,
    );
  }
}

function within(
  name: string,
  value: number,
  count: number,
  field: { min: number; max: number },
  reading: (count: number) => number,
): number {
  if (Number.isInteger(count) && count >= field.min && count <= field.max) return count;
  throw new RangeError(
    `the trip limit of ${name} is ${value}; this rig can hold ${fixed(reading(field.min), 2)} to ${fixed(reading(field.max), 2)}`,
  );
}
