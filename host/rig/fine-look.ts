// Whether a rig's finer amplifier is there: looked at with every output off, before anything is believed of it.

import type { Frame } from '../../firmware-protocol/index.js';
import { wordAt } from '../arrays/index.js';
import { CHANNEL, fineLetterOf, letterOf } from '../capture/index.js';
import type { FineChannel, RigProfile } from '../profile/index.js';
import { amount } from '../tell/index.js';

/** What came of asking a rig to read channels finely: those that it does, or why it does not. */
export type FineReading = { channels: FineChannel[] } | { lack: string };

/** Standard uncertainties by which two readings of one current may stand apart, and what rounding adds to a mean. */
const APART = 4;
/** An input that nothing is joined to follows what was converted before it, and wanders. */
const MOST_SCATTER_COUNTS = 8;

/** One sentence for people; undefined where both inputs agree on the current that flows, which is none. */
export function fineLack(
  channel: FineChannel,
  scan: string,
  frames: readonly Frame[],
  { scales, fineScales }: RigProfile,
): string | undefined {
  const fineScale = fineScales?.[channel];
  const scale = scales[channel];
  const coarse = `This rig reads ${CHANNEL[channel].words} in steps of ${amount(scale.perCount, 'A', 3)}`;
  if (fineScale === undefined) return `${coarse}: its profile tells of no amplifier for small ones.`;
  const fine = countsOf(fineLetterOf(channel), scan, frames);
  const plain = countsOf(letterOf(channel), scan, frames);
  const fineA = fineScale.atZeroCount + fineScale.perCount * fine.mean;
  const plainA = scale.atZeroCount + scale.perCount * plain.mean;
  const mayDiffer =
    APART * Math.hypot(scale.offsetUncertainty, fineScale.offsetUncertainty) + scale.perCount / 2;
  if (Math.abs(fineA - plainA) <= mayDiffer && fine.scatter <= MOST_SCATTER_COUNTS) return undefined;
  return `${coarse}: its amplifier for small ones is not there, or out of order. With all outputs off it says ${amount(fineA, 'A', 2)}.`;
}

export const FINE_ADVICE =
  'The run goes on, with a wider ± on every current. U7 of the rig: RIG.md, section 5.2.';

function countsOf(letter: string, scan: string, frames: readonly Frame[]): { mean: number; scatter: number } {
  const slots = [...scan].flatMap((own, slot) => (own === letter ? [slot] : []));
  const counts = frames.flatMap((frame) => slots.map((slot) => wordAt(frame.counts, slot)));
  const mean = counts.reduce((sum, count) => sum + count, 0) / counts.length;
  const variance = counts.reduce((sum, count) => sum + (count - mean) ** 2, 0) / counts.length;
  return { mean, scatter: Math.sqrt(variance) };
}
