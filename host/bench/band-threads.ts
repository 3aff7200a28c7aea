// The tolerance band of many draws over several threads; the same band as in one, draw for draw.

import { availableParallelism } from 'node:os';
import type { Worker } from 'node:worker_threads';
import { type BandOptions, mergeBands, type ToleranceBand, toleranceBand } from '../circuit/index.js';
import type { ResolvedUnit } from '../profile/index.js';
import { startWorker } from './worker-thread.js';

/** A thread takes about a second to start and to warm up, in which one that is warm draws this many. */
const DRAWS_WORTH_A_THREAD = 250;

/** Rejects with the thread's own error, a CircuitError for one. */
export async function bandInThreads(
  unit: ResolvedUnit,
  options: BandOptions & { draws: number },
  of = Math.min(availableParallelism(), Math.floor(options.draws / DRAWS_WORTH_A_THREAD)),
): Promise<ToleranceBand> {
  if (of < 2) return toleranceBand(unit, options);
  const shares = Array.from({ length: of }, (_, index) =>
    result(
      startWorker('./band-worker', import.meta.url, { unit, options: { ...options, share: { index, of } } }),
    ),
  );
  return mergeBands(await Promise.all(shares));
}

function result(worker: Worker): Promise<ToleranceBand> {
  return new Promise((resolve, reject) => {
    worker.once('message', resolve);
    worker.once('error', reject);
    worker.once('exit', (code) => reject(new Error(`band thread ended with code ${code} and no band`)));
  });
}
