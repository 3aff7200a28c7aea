// What one throw, or the rest behind it, shows to be wrong with how the capture was taken.

import type { Capture } from '../capture/index.js';
import { amount, significant } from '../tell/index.js';
import type { CaptureDoubt } from './capture-doubt.js';
import { choppedFastHz, choppedHz } from './chopped.js';
import { pulsedIn } from './pulsed.js';
import { readingOf } from './reading.js';
import { atStart, type RunStretch } from './run-stretch.js';
import type { ThrowSeen } from './throw.js';
import type { Trace } from './trace.js';
import type { Left } from './waveform.js';

/** Those of `found` of a kind that was not doubted before: each is told once. */
export const newOf = (known: readonly CaptureDoubt[], found: readonly CaptureDoubt[]): CaptureDoubt[] =>
  found.filter(({ kind }) => known.every((one) => one.kind !== kind));

/** @param asTaken the capture of an instrument that is no rig, hum and all; undefined where a rig took it */
export function throwDoubts(seen: ThrowSeen, trace: Trace, asTaken: Capture | undefined): CaptureDoubt[] {
  const { segment } = seen;
  const hz = choppedHz(segment.dropouts) ?? (asTaken ? choppedFastHz(asTaken, segment) : undefined);
  const mains = mainsIn(seen, trace);
  const isOpen = hz === undefined && mains.length === 0 && asTaken !== undefined;
  const pulsed = isOpen ? pulsedIn(asTaken, segment) : undefined;
  return [
    ...(hz === undefined ? [] : [choppedAt(segment.of, hz)]),
    ...(pulsed === undefined ? [] : [pulsedAt(segment.of, pulsed)]),
    ...mains,
  ];
}

/** A lone current that does not come back to where it began. */
export const zeroMoved = ({ atS, levelA, beforeA }: Left, isMotor: boolean): CaptureDoubt => ({
  kind: 'zero-moved',
  channels: [isMotor ? 'motorCurrentA' : 'feedCurrentA'],
  sentence: `Let go at ${amount(atS, 's', 2)} the current stands at ${amount(levelA, 'A', 2)}, before the first throw at ${amount(beforeA, 'A', 2)}: the zero of the clamp moved, or something goes on drawing. Zero it, and repeat with the leads sampled too.`,
});

/** Of the running current: what swings less is told and left in its scatter. Choice of this program, no source. */
const MAINS_PART = 0.05;

/** A swing in step with the mains, where no sampled supply shows whose it is. */
function mainsIn({ segment: { of, mains }, measured }: ThrowSeen, { channels }: Trace): CaptureDoubt[] {
  const running = readingOf(measured, 'runningCurrentA', of)?.value ?? 0;
  if (!mains || channels.supplyVoltageV || mains.amplitudeA < MAINS_PART * running) return [];
  return [
    {
      kind: 'mains',
      channels: ['motorCurrentA', 'feedCurrentA'],
      sentence: `${atStart(of)}: the current swings ${Math.round(mains.frequencyHz)} times a second by ${amount(mains.amplitudeA, 'A', 1)} either way, as the mains do: a charger feeds the motor, or the leads of the instrument pick it up. Run it from a battery and repeat.`,
    },
  ];
}

const choppedAt = (of: RunStretch, hz: number): CaptureDoubt => ({
  kind: 'chopped',
  isWhole: true,
  channels: ['motorCurrentA', 'feedCurrentA', 'leadAVoltageV', 'leadBVoltageV'],
  sentence: `${atStart(of)}: the voltage at the motor goes off and on ${Math.round(hz)} times a second, evenly: a speed controller feeds it, or a relay buzzes. Run it from a plain supply and repeat.`,
});

const pulsedAt = (of: RunStretch, hz: number): CaptureDoubt => ({
  kind: 'chopped',
  isWhole: true,
  channels: ['motorCurrentA', 'feedCurrentA'],
  sentence: `${atStart(of)}: the current pulses ${significant(hz, 3, '').trim()} times a second as it was sampled, evenly and from the first moment: a controller pulses it, or a charger feeds it. Run it from a battery and repeat.`,
});
