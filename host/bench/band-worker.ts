// One share of a tolerance band, computed in a thread of its own.

import { parentPort, workerData } from 'node:worker_threads';
import { type BandOptions, toleranceBand } from '../circuit/index.js';
import type { ResolvedUnit } from '../profile/index.js';

export interface BandJob {
  unit: ResolvedUnit;
  options: BandOptions;
}

const { unit, options } = workerData as BandJob;
parentPort?.postMessage(toleranceBand(unit, options));
