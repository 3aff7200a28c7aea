// A capture's speed column at the rows of a fit.

import { sampleAt } from '../../arrays/index.js';
import type { Capture } from '../../capture/index.js';
import { noiseOf } from '../statistics.js';
import type { MotorRows } from './motor-rows.js';
import { speedColumn } from './told-columns.js';

export interface Speed {
  speedRadS: Float64Array;
  deviation: number;
  guessKe(rows: MotorRows, resistanceOhm: number): number;
}

/** The speed column at the rows; undefined when there is none or it never moves. */
export function speedOf(capture: Capture, rows: MotorRows): Speed | undefined {
  const values = speedColumn(capture);
  if (!values) return undefined;
  const speedRadS = new Float64Array(rows.count);
  let at = 0;
  let largest = 0;
  for (let k = 0; k < rows.count; k++) {
    const timeS = sampleAt(rows.timeS, k);
    while (at + 1 < values.length && sampleAt(capture.timeS, at + 1) <= timeS) at++;
    const next = Math.min(at + 1, values.length - 1);
    const gap = sampleAt(capture.timeS, next) - sampleAt(capture.timeS, at);
    const part = gap > 0 ? (timeS - sampleAt(capture.timeS, at)) / gap : 0;
    speedRadS[k] = sampleAt(values, at) + part * (sampleAt(values, next) - sampleAt(values, at));
    if (Math.abs(sampleAt(speedRadS, k)) > largest) largest = Math.abs(sampleAt(speedRadS, k));
  }
  if (!(largest > 0)) return undefined;
  const noise = Math.max(noiseOf(values, 0, Math.min(values.length, 20000)), 0.002 * largest);
  return {
    speedRadS,
    deviation: noise,
    guessKe: ({ voltageV, currentA, count }, resistanceOhm) => {
      let top = 0;
      let bottom = 0;
      for (let k = 0; k < count; k++) {
        const w = sampleAt(speedRadS, k);
        if (Number.isNaN(w) || Math.abs(w) < 0.3 * largest) continue;
        top += (sampleAt(voltageV, k) - resistanceOhm * sampleAt(currentA, k)) * w;
        bottom += w * w;
      }
      return top > 0 ? top / bottom : 0.01;
    },
  };
}
