// Calibrations and known-load checks in plain lines.

import { type Channel, COLUMN_OF } from '../capture/index.js';
import type { CalibrationPoint, ShiftCheck } from '../records/index.js';
import { quantityText } from './measured-text.js';

export const quantityOfChannel = (channel: Channel, value: number, expandedUncertainty: number): string =>
  quantityText({ value, unit: channel.endsWith('A') ? 'A' : 'V', expandedUncertainty });

/** One line each, oldest first. Ends with a line break. */
export function calibrationHistory(
  points: readonly CalibrationPoint[],
  checks: readonly ShiftCheck[],
): string {
  const rows = [
    ...points.map((point) => ({ ...point, what: point.point as string })),
    ...checks.map((check) => ({
      ...check,
      what: `check ${check.moment} ${check.isGood ? 'good' : 'FAILED'}`,
    })),
  ].sort((a, b) => (a.at < b.at ? -1 : a.at > b.at ? 1 : 0));
  if (rows.length === 0) return 'no calibrations noted\n';
  return rows
    .map(({ at, rigId, channel, what, reading, readingUncertainty, reference, referenceUncertainty }) => {
      const read = quantityOfChannel(channel, reading, 2 * readingUncertainty);
      const known = quantityOfChannel(channel, reference, 2 * referenceUncertainty);
      return `${at.slice(0, 19)}Z  ${rigId}  ${COLUMN_OF[channel]}  ${what}  read ${read}, known ${known}\n`;
    })
    .join('');
}
