// What the verdicts of a profile rest on, worked out in this thread and a second one: how good units behave, and what
// every fault would read. Waits where it is asked, so that judging stays plain calls.

import { availableParallelism } from 'node:os';
import { MessageChannel } from 'node:worker_threads';
import { type DiagnosisLibrary, diagnosisLibrary, LibraryWork } from '../../diagnose/index.js';
import { type Expectation, expectation, goodDraws } from '../../judge/index.js';
import type { ResolvedUnit } from '../../profile/index.js';
import { startWorker } from '../worker-thread.js';
import { doTogether, messagesOn, sharedCells, type Work } from './shared-work.js';

export interface Preparation {
  /** @throws CircuitError when the profile's circuit cannot be solved. */
  expectation(): Expectation;
  library(): DiagnosisLibrary;
  /** Ends the second thread. */
  close(): void;
}

export interface PreparationOptions {
  /** Whether the second thread goes on to what the faults would read. */
  findings: boolean;
  /** Another thread takes part; by default when the machine has a core for it. */
  helper?: boolean;
}

/**
 * Cores below which a second thread costs more than it gives: the engine itself needs another one for compiling while a
 * profile is cold (1.4 s of processor time beside 1.8 s, and 1.4 s more for the second thread to warm up).
 */
const CORES_WORTH_A_THREAD = 3;

/** Starts at once. A relay by itself has no draws to share. */
export function prepareProfile(unit: ResolvedUnit, options: PreparationOptions): Preparation {
  const isAlone =
    unit.unit.subject === 'relay' || !(options.helper ?? availableParallelism() >= CORES_WORTH_A_THREAD);
  if (isAlone)
    return { expectation: () => expectation(unit), library: () => diagnosisLibrary(unit), close: () => {} };
  const cells = sharedCells(2);
  const { port1, port2 } = new MessageChannel();
  const { findings } = options;
  const worker = startWorker('./profile-worker', import.meta.url, { unit, cells, port: port2, findings }, [
    port2,
  ]);
  worker.unref();
  // What it does not hand in is done here, and there the same trouble shows.
  worker.on('error', () => {});
  const shares: unknown[][] = [[], []];
  const together = <T extends Work>(work: T, stage: number): T => {
    doTogether(work, stage, cells);
    for (const { stage: of, share } of messagesOn(port1)) shares[of]!.push(share);
    for (const share of shares[stage]!) work.add(share as never);
    return work;
  };
  return {
    expectation: () => expectation(unit, {}, together(goodDraws(unit), 0)),
    library: () => diagnosisLibrary(unit, {}, together(new LibraryWork(unit), 1)),
    close: () => {
      port1.close();
      void worker.terminate();
    },
  };
}
