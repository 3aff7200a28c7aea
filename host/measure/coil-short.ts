// Relay coils seen beside the limited feed: whether more flows than any coil takes. A suppression diode the wrong way round, or
// 30 and 86 exchanged, makes a dead short of the coil feed, which only its limiter or its fuse ends.

import { known } from '../fields/index.js';
import type { ResolvedUnit } from '../profile/index.js';
import { milli } from '../tell/index.js';
import type { MeasureResult } from './measure.js';
import type { Quantity } from './quantity.js';
import { readingOf } from './reading.js';
import { isThrow, type RunStretch, stretchWords } from './run-stretch.js';

/** Near the end of the rig's scale of 1 A; two 12 V coils together take 0.1 to 0.5 A (published relays: 60 to 300 Ohm). */
export const COIL_SHORT_A = 0.9;
/** With less behind the limiter, fuse and diode included, the straight feed would drive more than the scale of 1 A shows. */
export const LEAST_COIL_OHM = 12;
/** Less is a channel's offset, and no current. */
const FLOWS_A = 0.02;

/** The limiter that the coils were fed through, and the supply where it was not read. */
export interface CoilLimiter {
  limiterOhm: number;
  nominalVoltageV: number;
}

export interface CoilShort {
  of: RunStretch;
  /** What flows through the limiter; absent where the coils were fed straight, and the scale ends. */
  current?: Quantity;
}

type Seen = Pick<MeasureResult, 'measured' | 'segments'>;

/** Undefined where the rig has no limiter of the coils. */
export const coilLimiterOf = ({
  rig,
  motor,
}: Pick<ResolvedUnit, 'rig' | 'motor'>): CoilLimiter | undefined =>
  rig.limitedCoilFeedOhm === undefined
    ? undefined
    : { limiterOhm: rig.limitedCoilFeedOhm, nominalVoltageV: motor.nominalVoltageV };

/** What stands behind the limiter in a stretch; undefined where next to nothing flows, or the coil feed was not read. */
export function behindCoilLimiter(
  { measured }: Seen,
  of: RunStretch,
  { limiterOhm, nominalVoltageV }: CoilLimiter,
): { ohm: number; current: Quantity } | undefined {
  const current = readingOf(measured, 'coilCurrentA', of);
  if (current === undefined || current.value < FLOWS_A) return undefined;
  const supplyV = readingOf(measured, 'supplyVoltageV', of)?.value ?? nominalVoltageV;
  return { ohm: supplyV / current.value - limiterOhm, current };
}

/** Whether more flows through the limiter than any coil behind it lets through. */
export function isShortBehind(seen: Seen, of: RunStretch, limiter: CoilLimiter): boolean {
  const behind = behindCoilLimiter(seen, of, limiter);
  return behind !== undefined && behind.ohm < LEAST_COIL_OHM;
}

/**
 * The first limited stretch whose coil feed is shorted; undefined when none is, or the coil feed was not read.
 * @param limiter where the coils were fed through it
 */
export function coilShort(seen: Seen, limiter?: CoilLimiter): CoilShort | undefined {
  for (const { of } of seen.segments) {
    if (of.feed !== 'limited') continue;
    if (limiter === undefined) {
      if ((readingOf(seen.measured, 'coilCurrentA', of)?.value ?? 0) >= COIL_SHORT_A) return { of };
      continue;
    }
    if (isShortBehind(seen, of, limiter))
      return known({ of, current: behindCoilLimiter(seen, of, limiter)?.current });
  }
  return undefined;
}

/** Cause first: `The coil feed is shorted, forward: 297 mA flows through its limiter, more than coils could draw.` */
export function coilShortSentence({ of, current }: CoilShort): string {
  const flows = current && `${milli(current.value, 'A')} flows through its limiter`;
  if (isThrow(of)) {
    const told = flows
      ? `${flows}, more than coils could draw`
      : 'more than 0.9 A flows where a coil takes 0.2 A';
    return `The coil feed is shorted, ${stretchWords(of)}: ${told}.`;
  }
  return `The coil feed is shorted at rest: ${flows ?? 'more than 0.9 A flows'} with nothing thrown. Press the stop button.`;
}
