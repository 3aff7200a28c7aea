// What the options tell of a capture by another instrument, and the capture read by it.

import { resolve } from 'node:path';
import { type Capture, type ReadOptions, readCaptureFile } from '../capture/index.js';
import { known } from '../fields/index.js';
import type { MeasureOptions } from '../measure/index.js';
import { ripplesPerTurn } from '../profile/index.js';
import type { CAPTURE_OPTIONS } from './capture-options.js';
import { type CommandIo, numberTold, UsageError } from './command.js';

/** What was given for them on the command line. */
export type CaptureTold = { [K in keyof typeof CAPTURE_OPTIONS]?: string | boolean | undefined };

/** @throws UsageError for a number that is none, or out of what can be. */
export function captureOptions(values: CaptureTold): { read: ReadOptions; measure: MeasureOptions } {
  const number = (name: keyof CaptureTold, least: number, most: number, example: number) => {
    const text = values[name];
    return typeof text === 'string' ? numberTold(name, text, { least, most, example }) : undefined;
  };
  const rate = number('sample-rate', 1, 1e8, 5000);
  const scale = number('current-scale', -1e6, 1e6, 10);
  if (scale === 0)
    throw new UsageError('--current-scale 0 would leave no current; give amperes a unit of the file');
  const supply = number('supply-v', 1, 1000, 13.2);
  const segments = number('segments', 2, 500, 8);
  if (segments !== undefined && !Number.isInteger(segments))
    throw new UsageError(`--segments ${segments} should be a whole number, such as 8`);
  const column = values['current-column'];
  return {
    read: known({
      sampleRateHz: rate,
      currentScale: scale,
      currentColumn: typeof column === 'string' ? column : undefined,
    }),
    measure: known({
      nominalVoltageV: supply,
      ripplesPerTurn: segments && ripplesPerTurn(segments),
      thrownByHand: values['by-hand'] === true || undefined,
    }),
  };
}

/** @throws InputError */
export const readCaptureAt = (io: CommandIo, file: string, options: ReadOptions): Capture =>
  readCaptureFile(resolve(io.cwd, file), options);
