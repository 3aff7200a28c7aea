// Relay coils seen beside the limited feed: whether more flows than any coil takes. A suppression diode the wrong way round, or
// 30 and 86 exchanged, makes a dead short of the coil feed, which only its fuse ends.

import type { MeasureResult } from './measure.js';
import { readingOf } from './reading.js';
import { isThrow, type RunStretch, stretchWords } from './run-stretch.js';

/** Near the end of the rig's scale of 1 A; two 12 V coils together take 0.1 to 0.5 A (published relays: 60 to 300 Ohm). */
export const COIL_SHORT_A = 0.9;

export interface CoilShort {
  of: RunStretch;
}

/** The first limited stretch whose coil feed is shorted; undefined when none is, or the coil feed was not read. */
export function coilShort({
  measured,
  segments,
}: Pick<MeasureResult, 'measured' | 'segments'>): CoilShort | undefined {
  const found = segments.find(
    ({ of }) =>
      of.feed === 'limited' && (readingOf(measured, 'coilCurrentA', of)?.value ?? 0) >= COIL_SHORT_A,
  );
  return found && { of: found.of };
}

/** Cause first: `The coil feed is shorted, forward: more than 0.9 A flows where a coil takes 0.2 A.` */
export const coilShortSentence = ({ of }: CoilShort): string =>
  isThrow(of)
    ? `The coil feed is shorted, ${stretchWords(of)}: more than 0.9 A flows where a coil takes 0.2 A.`
    : 'The coil feed is shorted at rest: more than 0.9 A flows with nothing thrown. Press the stop button.';
