// The analogue side of the rig as it really is: every channel has its own gain and offset error, as large as the
// profile's uncertainties say, and noise. Rounding and clipping are the board's.

import { SCAN_LETTERS } from '../../firmware-protocol/index.js';
import { CHANNEL, type Channel, channelOfLetter } from '../capture/index.js';
import type { FineChannel, RigProfile } from '../profile/index.js';
import type { Chance } from './chance.js';

/** Noise of a 10-bit converter beside switching power leads, in counts rms (common practice, no source). */
const NOISE_COUNTS = 0.6;

export interface InputChannel {
  channel: Channel;
  /** Real-valued counts for a true reading, noise included. */
  counts(reading: number): number;
}

/** By converter input 0 to 7; undefined where nothing is connected. */
export function inputChannels(rig: RigProfile, dice: Chance): (InputChannel | undefined)[] {
  const inputs: (InputChannel | undefined)[] = new Array(8).fill(undefined);
  // In the board's own order, so that a seed keeps its errors.
  for (const [letter, { adc }] of Object.entries(SCAN_LETTERS)) {
    const channel = channelOfLetter(letter);
    const isFine = CHANNEL[channel].fineLetter === letter;
    const scale = isFine ? rig.fineScales?.[channel as FineChannel] : rig.scales[channel];
    if (scale === undefined) continue;
    const errors = (): Errors => ({
      gain: 1 + (dice.normal() * scale.gainUncertaintyPercent) / 100,
      offset: dice.normal() * scale.offsetUncertainty,
    });
    inputs[adc] = inputOf(channel, scale, dice, isFine ? drawnWhenRead(errors) : always(errors()));
  }
  return inputs;
}

interface Errors {
  gain: number;
  offset: number;
}

const always =
  (errors: Errors): (() => Errors) =>
  () =>
    errors;

/** A bench whose finer input nobody reads keeps the dice that it had without it. */
function drawnWhenRead(draw: () => Errors): () => Errors {
  let drawn: Errors | undefined;
  return () => {
    drawn ??= draw();
    return drawn;
  };
}

function inputOf(
  channel: Channel,
  { atZeroCount, perCount }: { atZeroCount: number; perCount: number },
  dice: Chance,
  errorsOf: () => Errors,
): InputChannel {
  return {
    channel,
    counts: (reading) => {
      const { gain, offset } = errorsOf();
      return (gain * reading + offset - atZeroCount) / perCount + NOISE_COUNTS * dice.normal();
    },
  };
}
