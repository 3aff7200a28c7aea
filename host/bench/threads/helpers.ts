// Threads that take part in work on a profile, seen from where the result is wanted.

import { MessageChannel, type MessagePort, type Worker } from 'node:worker_threads';
import type { ResolvedUnit } from '../../profile/index.js';
import { startWorker } from '../../program/index.js';
import type { HelperJob, Stage } from './helper-worker.js';
import { doTogether, messagesOn, sharedCells, type Work } from './shared-work.js';

export class Helpers {
  readonly #cells: Int32Array;
  readonly #threads: { worker: Worker; port: MessagePort }[];
  readonly #shares: unknown[][];

  /** Starts `count` threads at once. */
  constructor(unit: ResolvedUnit, stages: readonly Stage[], count: number) {
    const cells = sharedCells(stages.length);
    this.#cells = cells;
    this.#shares = stages.map(() => []);
    this.#threads = Array.from({ length: count }, () => {
      const { port1, port2: port } = new MessageChannel();
      const job: HelperJob = { unit, stages, cells, port };
      const worker = startWorker('./helper-worker', import.meta.url, job, [port]);
      worker.unref();
      // What it does not hand in is done by the one that waits, and there the same trouble shows.
      worker.on('error', () => {});
      return { worker, port: port1 };
    });
  }

  /** `work`, which must be what the threads do as this stage, with what all of them have done of it. */
  together<T extends Work>(work: T, stage: number): T {
    doTogether(work, stage, this.#cells, this.#threads.length);
    for (const { port } of this.#threads) {
      for (const { stage: of, share } of messagesOn(port)) this.#shares[of]?.push(share);
    }
    for (const share of this.#shares[stage] ?? []) work.add(share as never);
    return work;
  }

  close(): void {
    for (const { worker, port } of this.#threads) {
      port.close();
      void worker.terminate();
    }
  }
}
