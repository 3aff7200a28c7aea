// What a rig cannot read with every output off, whatever hangs on it: an input at its end, a feed current with no feed, a lead
// above the supply. The channel itself is out of order then, and nothing that it says of a unit counts.

import { sampleAt } from '../arrays/index.js';
import { type Capture, CHANNEL, type Channel, RIG_CHANNELS } from '../capture/index.js';
import type { ResolvedUnit, RigProfile } from '../profile/index.js';
import type { Rig } from '../rig/index.js';
import { amount, capitalised } from '../tell/index.js';
import { RigFault, type RigPart } from './rig-fault.js';

/** Of a channel's whole span: an input that is broken off, or an amplifier on its rail, stands within it. */
const END_PART = 0.01;
/** Fewer samples tell nothing. */
const LEAST_SAMPLES = 5;
/** No feed is on, and coils behind their limiter take less (RIG.md, 5.13: 0.33 A into a dead short). Choice, no source. */
const MOST_FEED_A = 2;
/** So much at rest would be taken for a unit that draws it (`fed-at-rest.ts`); nothing feeds one here. */
const MOST_ZERO_A = 0.2;
/** No coil is thrown. Below it its amplifier rests on its rail (RIG.md, section 5.3), and one LED takes as much. Choice, no source. */
const MOST_REST_COIL_A = 0.1;
/** What fades meanwhile is a shaft that runs down. Choice of this program, no source. */
const FADES_PART = 0.2;
/** Beyond what 1 % parts make of both channels (RIG.md, 5.4: 0.13 V and 1.7 % of 20 V). Choice, no source. */
const MOST_ABOVE_SUPPLY_V = 1.5;
/** A lead that nothing feeds stands at ground or floats; only a shaft that runs down drives it below. Choice of this program, no source. */
const MOST_BELOW_GROUND_V = 1;
/** With less the rail of the board sags (RIG.md, 5.12), and coils fall. */
const LEAST_SUPPLY_V = 6;

export interface OffLook {
  rig: Pick<RigProfile, 'scales' | 'adcBits'>;
  /** A shorted coil feed without one reaches the end of its scale, and is the unit's. */
  hasCoilLimiter: boolean;
  /** The stop loop hangs on the supply, and is closed; false where a person turns the supply. */
  needsSupply: boolean;
}

/** By the block before the pin (RIG.md, sheet 2). */
const PARTS: Readonly<Record<Channel, readonly RigPart[]>> = {
  motorCurrentA: ['U1', 'RS2'],
  feedCurrentA: ['U2', 'RS1'],
  coilCurrentA: ['U3', 'RS3'],
  leadAVoltageV: ['U4'],
  leadBVoltageV: ['U4'],
  supplyVoltageV: ['U4'],
};

/** Of samples with every output off; undefined where nothing in them is impossible. Pure. */
export function impossibleWhileOff(off: Pick<Capture, 'channels'>, look: OffLook): RigFault | undefined {
  const means = new Map(
    RIG_CHANNELS.flatMap((channel) => {
      const mean = meanOf(off.channels[channel]);
      return mean === undefined ? [] : [[channel, mean] as const];
    }),
  );
  for (const [channel, mean] of means) if (isAtEnd(channel, mean, look)) return outOfOrder([channel], mean);
  const feedA = means.get('feedCurrentA') ?? 0;
  if (Math.abs(feedA) > MOST_FEED_A) return outOfOrder(['feedCurrentA'], feedA);
  if (Math.abs(feedA) > MOST_ZERO_A) return offZero('feedCurrentA', feedA);
  const motorA = means.get('motorCurrentA') ?? 0;
  // The coils' feed is live: what takes it astray may drive the motor.
  const isCoilFeedAstray = (means.get('coilCurrentA') ?? 0) > MOST_REST_COIL_A;
  if (!isCoilFeedAstray && Math.abs(motorA) > MOST_ZERO_A && !fades(off.channels.motorCurrentA))
    return offZero('motorCurrentA', motorA);
  for (const lead of ['leadAVoltageV', 'leadBVoltageV'] as const) {
    const leadV = means.get(lead) ?? 0;
    if (leadV < -MOST_BELOW_GROUND_V && !fades(off.channels[lead])) return outOfOrder([lead], leadV);
  }
  const supplyV = means.get('supplyVoltageV');
  if (supplyV === undefined) return undefined;
  for (const lead of ['leadAVoltageV', 'leadBVoltageV'] as const) {
    const leadV = means.get(lead) ?? 0;
    if (leadV > supplyV + MOST_ABOVE_SUPPLY_V) return outOfOrder([lead, 'supplyVoltageV'], leadV, supplyV);
  }
  return look.needsSupply && supplyV < LEAST_SUPPLY_V ? supplyUnread(supplyV) : undefined;
}

/** The same as a drive asks it, of the rig that it drives. */
export const misreadOf =
  ({ rig: profile, unit }: ResolvedUnit, rig: Rig) =>
  (off: Capture): RigFault | undefined =>
    impossibleWhileOff(off, {
      rig: profile,
      hasCoilLimiter: rig.setCoilFeed !== undefined,
      needsSupply: unit.subject !== 'relay',
    });

function isAtEnd(channel: Channel, mean: number, { rig, hasCoilLimiter }: OffLook): boolean {
  const { atZeroCount, perCount } = rig.scales[channel];
  const span = perCount * (2 ** rig.adcBits - 1);
  const place = (mean - atZeroCount) / span;
  if (place > 1 - END_PART) return channel !== 'coilCurrentA' || hasCoilLimiter;
  // Where 0 is the lower end, that is what rest reads.
  return place < END_PART && atZeroCount < 0;
}

function outOfOrder(channels: readonly [Channel, ...Channel[]], first: number, second?: number): RigFault {
  const [channel, other] = channels;
  const { words, unit } = CHANNEL[channel];
  const beside =
    other === undefined || second === undefined
      ? 'which cannot be'
      : `and ${CHANNEL[other].words} ${amount(second, CHANNEL[other].unit, 1)}, which cannot be both`;
  return new RigFault(
    `The rig misreads ${words}: with all outputs off it says ${amount(first, unit, 1)}, ${beside}.`,
    `${capitalised(channels.map((one) => CHANNEL[one].words).join(' and '))}: follow the wires from the rig's input to the board's pin, and compare with "throwbench rig --watch" (RIG.md, section 8, step 5).`,
    [...new Set(channels.flatMap((one) => PARTS[one]))],
  );
}

const offZero = (channel: 'motorCurrentA' | 'feedCurrentA', mean: number): RigFault =>
  new RigFault(
    `The rig's zero of ${CHANNEL[channel].words} is off: with all outputs off it says ${amount(mean, 'A', 2)}, and nothing can flow.`,
    `Calibrate the rig (throwbench calibrate), and start the unit again. If the zero moves again, look at ${PARTS[channel].join(' and ')} (RIG.md, section 5.2).`,
    PARTS[channel],
  );

/** Whether a current falls over its samples. */
function fades(values: Float64Array | undefined): boolean {
  const half = Math.floor((values?.length ?? 0) / 2);
  const [first, second] = [meanOf(values?.subarray(0, half)), meanOf(values?.subarray(half))];
  return first !== undefined && second !== undefined && Math.abs(second) < (1 - FADES_PART) * Math.abs(first);
}

const supplyUnread = (supplyV: number): RigFault =>
  new RigFault(
    `The rig reads ${amount(supplyV, 'V', 1)} of supply although its stop loop has its voltage: its sense of the supply is lost, or the supply has broken down.`,
    'Measure at the battery posts. If the supply is there, look at U4 and R30 to R32 of the rig (RIG.md, section 5.5).',
    ['U4'],
  );

function meanOf(values: Float64Array | undefined): number | undefined {
  if (values === undefined) return undefined;
  let [sum, count] = [0, 0];
  for (let i = 0; i < values.length; i++) {
    const value = sampleAt(values, i);
    if (Number.isNaN(value)) continue;
    sum += value;
    count += 1;
  }
  return count < LEAST_SAMPLES ? undefined : sum / count;
}
