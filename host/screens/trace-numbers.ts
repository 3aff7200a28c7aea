// The numbers that matter beside a trace: what is read now, what the motor got or drew each way, and the highest peak.

import { sampleAt } from '../arrays/index.js';
import type { PlannedStep } from '../bench/index.js';
import type { Series } from './trace-store.js';

export interface StepSpan {
  step: PlannedStep;
  fromS: number;
  toS: number;
}

export interface TraceNumber {
  name: 'peak' | 'forward' | 'reverse';
  value: number;
}

/** Fewer samples than these are no level. */
const LEAST_SAMPLES = 5;

/** Level of the latest throw of the full feed each way, once it is half over, and the value furthest from zero. */
export function traceNumbers(series: Series, spans: readonly StepSpan[]): TraceNumber[] {
  const levels = (['forward', 'reverse'] as const).flatMap((name): TraceNumber[] => {
    const thrown = spans.filter(({ step }) => step.position === name && step.feed === 'full');
    for (const { fromS, toS } of thrown.reverse()) {
      const value = levelOf(series, (fromS + toS) / 2, toS);
      if (value !== undefined) return [{ name, value }];
    }
    return [];
  });
  const peak = furthest(series);
  return peak === undefined ? levels : [{ name: 'peak', value: peak }, ...levels];
}

/** Median of what was sampled from `fromS` to `toS`. */
function levelOf({ timeS, value }: Series, fromS: number, toS: number): number | undefined {
  const within: number[] = [];
  for (let i = timeS.length - 1; i >= 0 && sampleAt(timeS, i) >= fromS; i--) {
    const read = sampleAt(value, i);
    if (sampleAt(timeS, i) < toS && !Number.isNaN(read)) within.push(read);
  }
  within.sort((a, b) => a - b);
  return within.length < LEAST_SAMPLES ? undefined : within[Math.floor(within.length / 2)];
}

function furthest({ value }: Series): number | undefined {
  let most: number | undefined;
  for (const read of value)
    if (!Number.isNaN(read) && (most === undefined || Math.abs(read) > Math.abs(most))) most = read;
  return most;
}
