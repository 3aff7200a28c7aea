// Good units of one make on the simulated bench, for learning: motors that spread as a maker's do, one start or several.

import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { writeCaptureCsv } from '../../host/capture/index.js';
import { seededRandom } from '../../host/circuit/index.js';
import type { ResolvedUnit } from '../../host/profile/index.js';
import { runDirectly } from '../accuracy/direct-run.js';

/** Relative spread of one make's motors from unit to unit (common practice, no source). */
const SPREAD = { resistanceOhm: 0.03, backEmfVsPerRad: 0.02, coulombNm: 0.06, inertiaKgM2: 0.02 };

export interface OnBench {
  tag: string;
  seed: number;
  /** Multiplies the motor's own numbers, beside its spread. */
  motorScale?: Record<string, number>;
  supplyV?: number;
  starts?: number;
}

/** Writes `TAG_1.csv`, `TAG_2.csv` … into `folder`. */
export function writeStarts(folder: string, unit: ResolvedUnit, given: OnBench): void {
  const { tag, seed, motorScale = {}, supplyV = 13, starts = 1 } = given;
  const random = seededRandom(seed);
  const own = Object.fromEntries(
    Object.entries(SPREAD).map(([name, part]) => [name, Math.exp(part * random.normal())]),
  );
  const scale = Object.fromEntries(
    [...new Set([...Object.keys(own), ...Object.keys(motorScale)])].map((name) => [
      name,
      (own[name] ?? 1) * (motorScale[name] ?? 1),
    ]),
  );
  mkdirSync(folder, { recursive: true });
  for (let start = 1; start <= starts; start++) {
    const virtualCase = {
      ...{ id: 'any', title: 'Any', kind: 'case' as const, seed, faults: [], motorScale: scale },
      supply: { voltageV: supplyV },
      temperatureC: 22,
    };
    const { capture } = runDirectly({ unit, truth: 'healthy', virtualCase, seed: 100 * seed + start });
    writeFileSync(
      join(folder, `${tag}_${start}.csv`),
      writeCaptureCsv(capture, { precision: { decimals: 5 } }),
    );
  }
}
