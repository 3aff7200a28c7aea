// Options that tell what a capture by another instrument does not: rate, scale, supply, segments, who threw.

import { resolve } from 'node:path';
import { type Capture, type ReadOptions, readCaptureFile } from '../capture/index.js';
import type { MeasureOptions } from '../measure/index.js';
import { ripplesPerTurn } from '../profile/index.js';
import { type CommandIo, UsageError } from './command.js';

export const CAPTURE_OPTIONS = {
  'supply-v': { type: 'string' },
  segments: { type: 'string' },
  'current-scale': { type: 'string' },
  'current-column': { type: 'string' },
  'sample-rate': { type: 'string' },
  'by-hand': { type: 'boolean' },
} as const;

export const CAPTURE_USAGE = `  --sample-rate HZ      rate of the samples of a file without times
  --current-column NAME the column that is the motor current, whatever its name
  --current-scale X     multiplies every current: a clamp's amperes a volt; =-1 turns the sign
  --supply-v V          supply voltage, when it was not sampled
  --segments N          segments of the motor's commutator, for its speed from the ripple (two brushes: an odd
                        count gives two ripples a segment)
  --by-hand             the switch was thrown by hand: the waveform tells the throws, not the position column`;

type Values = { [K in keyof typeof CAPTURE_OPTIONS]?: string | boolean | undefined };

/** @throws UsageError for a number that is none, or out of what can be. */
export function captureOptions(values: Values): { read: ReadOptions; measure: MeasureOptions } {
  const number = (name: keyof Values, low: number, high: number, example: string): number | undefined => {
    const text = values[name];
    if (typeof text !== 'string') return undefined;
    const value = text.trim() === '' ? Number.NaN : Number(text);
    if (!(value >= low && value <= high))
      throw new UsageError(
        `--${name} '${text}' should be a number from ${low} to ${high}, such as ${example}`,
      );
    return value;
  };
  const rate = number('sample-rate', 1, 1e8, '5000');
  const scale = number('current-scale', -1e6, 1e6, '10');
  if (scale === 0)
    throw new UsageError('--current-scale 0 would leave no current; give amperes a unit of the file');
  const supply = number('supply-v', 1, 1000, '13.2');
  const segments = number('segments', 2, 500, '8');
  if (segments !== undefined && !Number.isInteger(segments))
    throw new UsageError(`--segments ${segments} should be a whole number, such as 8`);
  const column = values['current-column'];
  return {
    read: {
      ...(rate === undefined ? {} : { sampleRateHz: rate }),
      ...(scale === undefined ? {} : { currentScale: scale }),
      ...(typeof column === 'string' ? { currentColumn: column } : {}),
    },
    measure: {
      ...(supply === undefined ? {} : { nominalVoltageV: supply }),
      ...(segments === undefined ? {} : { ripplesPerTurn: ripplesPerTurn(segments) }),
      ...(values['by-hand'] === true ? { thrownByHand: true } : {}),
    },
  };
}

/** @throws InputError */
export const readCaptureAt = (io: CommandIo, file: string, options: ReadOptions): Capture =>
  readCaptureFile(resolve(io.cwd, file), options);
