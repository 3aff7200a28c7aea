// Good units of one make on the simulated bench, for learning: motors that spread as a maker's do, one start or several.

import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { type Capture, writeCaptureCsv } from '../../host/capture/index.js';
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
  /** Ids of faults of the profile. */
  faults?: readonly string[];
}

/** The starts of one unit, as captures. */
export function startsOnBench(unit: ResolvedUnit, given: Omit<OnBench, 'tag'>): Capture[] {
  const { seed, motorScale = {}, supplyV = 13, starts = 1, faults = [] } = given;
  const random = seededRandom(seed);
  const own = Object.fromEntries(
    Object.entries(SPREAD).map(([name, part]) => [name, Math.exp(part * random.normal())]),
  );
  const names = [...new Set([...Object.keys(own), ...Object.keys(motorScale)])];
  const scale = Object.fromEntries(names.map((name) => [name, (own[name] ?? 1) * (motorScale[name] ?? 1)]));
  const virtualCase = {
    ...{ id: 'any', title: 'Any', kind: 'case' as const, seed, faults: [...faults], motorScale: scale },
    supply: { voltageV: supplyV },
    temperatureC: 22,
  };
  return Array.from(
    { length: starts },
    (_, start) => runDirectly({ unit, truth: 'any', virtualCase, seed: 100 * seed + start + 1 }).capture,
  );
}

/** Writes `TAG_1.csv`, `TAG_2.csv` … into `folder`. */
export function writeStarts(folder: string, unit: ResolvedUnit, given: OnBench): void {
  mkdirSync(folder, { recursive: true });
  for (const [start, capture] of startsOnBench(unit, given).entries())
    writeFileSync(
      join(folder, `${given.tag}_${start + 1}.csv`),
      writeCaptureCsv(capture, { precision: { decimals: 5 } }),
    );
}
