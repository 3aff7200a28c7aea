// Every calibration and known-load check noted, in plain lines.

import { CHANNEL } from '../capture/index.js';
import { type CalibrationPoint, hasStore, type ShiftCheck } from '../records/index.js';
import { universalTime } from '../tell/index.js';
import { quantityOfChannel } from './calibrate-text.js';
import { type CommandIo, EXIT, jsonText } from './command.js';
import { storeToRead } from './own-key.js';

/** Of all rigs when none is named. The exit code. */
export function list(io: CommandIo, rigId: string | undefined, json: boolean): number {
  if (!hasStore()) {
    io.stdout(json ? '{"calibrations":[],"checks":[]}\n' : 'no calibrations noted\n');
    return EXIT.pass;
  }
  const store = storeToRead();
  try {
    const calibrations = store.listCalibrations(rigId);
    const checks = store.listShiftChecks(rigId);
    io.stdout(json ? jsonText({ calibrations, checks }) : calibrationHistory(calibrations, checks));
    return EXIT.pass;
  } finally {
    store.close();
  }
}

/** One line each, oldest first. Ends with a line break. */
function calibrationHistory(points: readonly CalibrationPoint[], checks: readonly ShiftCheck[]): string {
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
      return `${universalTime(at)}  ${rigId}  ${CHANNEL[channel].words}  ${what}  read ${read}, known ${known}\n`;
    })
    .join('');
}
