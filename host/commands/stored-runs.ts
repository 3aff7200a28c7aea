// The store as reading commands see it: opened for one question, never made, unknown runs told in one line.

import { displayPath, InputError } from '../input/index.js';
import { hasStore, logsDir, openStore, RecordError, type RunRecord, type Store } from '../records/index.js';

/** Opens the store for one question; undefined when there is none yet, and none is made. */
export function withStore<T>(ask: (store: Store) => T): T | undefined {
  if (!hasStore()) return undefined;
  const store = openStore();
  try {
    return ask(store);
  } finally {
    store.close();
  }
}

/** The same for what takes its time, or adds to a record. */
export async function withOpenStore<T>(ask: (store: Store) => Promise<T>): Promise<T | undefined> {
  if (!hasStore()) return undefined;
  const store = openStore();
  try {
    return await ask(store);
  } finally {
    store.close();
  }
}

/** @param runId its id, or `last`. @throws InputError */
export function knownRun(store: Store, runId: string): RunRecord {
  try {
    return store.showRun(runId);
  } catch (error) {
    if (error instanceof RecordError && error.code === 'run-unknown') throw unknownRun(runId, 'no such run');
    throw error;
  }
}

export const noRuns = (runId: string): InputError =>
  unknownRun(runId, `no runs are recorded in ${storePlace()}`);

export const storePlace = (): string => displayPath(logsDir());

const unknownRun = (runId: string, what: string): InputError =>
  new InputError({ file: runId, what, mend: 'throwbench log lists the runs' });
