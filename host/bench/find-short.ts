// Whether the full feed may follow on the limited one: the same reading of the same samples that judging makes of the stored capture.

import type { Capture } from '../capture/index.js';
import {
  coilShort,
  coilShortSentence,
  fedAtRest,
  fedSentence,
  feedPathOf,
  isThrow,
  type LimitedReading,
  limitedShort,
  type MeasureResult,
  measure,
  readingOf,
  type Segment,
} from '../measure/index.js';
import type { ResolvedUnit } from '../profile/index.js';
import type { KeptOff } from './drive.js';

/** The limited stretch of a run so far that shows a short; undefined when none does. Pure. */
export function findShort(unit: ResolvedUnit, soFar: Capture): LimitedReading | undefined {
  return limitedShort(seenIn(unit, soFar), feedPathOf(unit));
}

/** What is driven or fed at rest although the style holds it off, or a shorted coil feed; undefined when neither is. Pure. */
export function findFed(unit: ResolvedUnit, soFar: Capture): KeptOff | undefined {
  const { nominalVoltageV } = unit.motor;
  const seen = seenIn(unit, soFar);
  const short = coilShort(seen);
  if (short) return { reason: 'coil-short', sentence: coilShortSentence(short) };
  const fed = fedAtRest(seen, unit.style.restState, nominalVoltageV);
  return fed && { reason: 'fed-at-rest', sentence: fedSentence(fed) };
}

/**
 * Why nothing can be said of the limited stretches, whose feed current or, at rest, motor current was lost: nobody knows then
 * what the full feed would meet. Undefined when they were read. Pure.
 */
export function findUnread(unit: ResolvedUnit, soFar: Capture): string | undefined {
  const { measured, segments } = seenIn(unit, soFar);
  const limited = segments.filter(({ of }) => of.feed === 'limited');
  const deciding = limited.slice(0, Math.max(1, limited.findLastIndex(({ of }) => isThrow(of)) + 1));
  const isRead = ({ of }: Segment): boolean =>
    readingOf(measured, 'feedCurrentA', of) !== undefined &&
    (isThrow(of) || readingOf(measured, 'motorCurrentA', of) !== undefined);
  if (deciding.length > 0 && deciding.every(isRead)) return undefined;
  return 'What flows through the limited feed could not be read; the full feed was kept off, and what follows was left out.';
}

/** The three questions are asked of one capture in a row. */
const measuredOf = new WeakMap<Capture, MeasureResult>();

function seenIn({ rig, motor: { nominalVoltageV } }: ResolvedUnit, soFar: Capture): MeasureResult {
  const known = measuredOf.get(soFar);
  if (known) return known;
  const result = measure(soFar, { rig, nominalVoltageV, ripple: false });
  measuredOf.set(soFar, result);
  return result;
}
