// What the options tell of a capture by another instrument, and the capture read by it.

import { resolve } from 'node:path';
import {
  type Capture,
  type Mapping,
  mappingOf,
  type ReadOptions,
  readCaptureFile,
  type Unit,
  unitOf,
} from '../capture/index.js';
import { known } from '../fields/index.js';
import { type MeasureOptions, zeroFromRest } from '../measure/index.js';
import { ripplesPerTurn } from '../profile/index.js';
import { instrumentTold } from './accuracy-told.js';
import type { CAPTURE_OPTIONS } from './capture-options.js';
import { type CommandIo, numberTold, UsageError } from './command.js';

/** What was given for them on the command line. */
export type CaptureTold = { [K in keyof typeof CAPTURE_OPTIONS]?: string | boolean | string[] | undefined };

export interface CaptureAsked {
  read: ReadOptions;
  measure: MeasureOptions;
  zeroFromRest: boolean;
}

/** @throws UsageError for a number that is none, or out of what can be. */
export function captureOptions(values: CaptureTold): CaptureAsked {
  const number = (name: keyof CaptureTold, least: number, most: number, example: number) => {
    const text = values[name];
    return typeof text === 'string' ? numberTold(name, text, { least, most, example }) : undefined;
  };
  const text = (name: keyof CaptureTold): string | undefined => {
    const value = values[name];
    return typeof value === 'string' ? value : undefined;
  };
  const rate = number('sample-rate', 1, 1e8, 5000) ?? number('rate', 1, 1e8, 5000);
  const skipRows = number('skip-rows', 0, 100_000, 12);
  const decimal = decimalSign(text('decimal'));
  const scale = number('current-scale', -1e6, 1e6, 10);
  if (scale === 0)
    throw new UsageError('--current-scale 0 would leave no current; give amperes a unit of the file');
  const supply = number('supply-v', 1, 1000, 13.2);
  const segments = number('segments', 2, 500, 8);
  if (segments !== undefined && !Number.isInteger(segments))
    throw new UsageError(`--segments ${segments} should be a whole number, such as 8`);
  return {
    read: known({
      sampleRateHz: rate,
      currentScale: scale,
      currentColumn: text('current-column'),
      columns: mappings(values.column),
      timeColumn: text('time-column'),
      timeScale: timeScale(text('time-scale')),
      skipRows,
      decimal,
    }),
    measure: known({
      nominalVoltageV: supply,
      ripplesPerTurn: segments && ripplesPerTurn(segments),
      thrownByHand: values['by-hand'] === true || undefined,
      instrument: instrumentTold(values.accuracy),
    }),
    zeroFromRest: values['zero-from-rest'] === true,
  };
}

/** @throws UsageError */
function decimalSign(told: string | undefined): ReadOptions['decimal'] {
  if (told === undefined || told === 'point' || told === 'comma') return told;
  throw new UsageError(`--decimal '${told}' should be point or comma`);
}

/** @throws UsageError */
function mappings(told: CaptureTold[keyof CaptureTold]): Mapping[] | undefined {
  if (!Array.isArray(told)) return undefined;
  return told.map((text) => {
    const mapping = mappingOf(text);
    if (typeof mapping === 'string') throw new UsageError(`--column '${text}' ${mapping}`);
    return mapping;
  });
}

/** @throws UsageError */
function timeScale(text: string | undefined): Unit | undefined {
  if (text === undefined) return undefined;
  const unit = unitOf(text);
  if (unit?.kind === 'time') return unit;
  const up = text.trim() === '' ? Number.NaN : Number(text);
  if (up > 0 && Number.isFinite(up)) return { kind: 'time', name: `${text} s`, up, down: 1 };
  throw new UsageError(
    `--time-scale '${text}' should be s, ms, us, min or seconds a unit of the file, such as 0.001`,
  );
}

/** @throws InputError */
export function readCaptureAt(
  io: CommandIo,
  file: string,
  { read, zeroFromRest: isZeroed }: CaptureAsked,
): Capture {
  const capture = readCaptureFile(resolve(io.cwd, file), read);
  return isZeroed ? zeroFromRest(capture) : capture;
}
