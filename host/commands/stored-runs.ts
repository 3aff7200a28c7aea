// The store as reading commands see it: opened for one question, never made, unknown runs told in one line.

import { displayPath, InputError, nearestName } from '../input/index.js';
import {
  anchorOf,
  hasStore,
  isAnchor,
  isAnchorOf,
  logsDir,
  RecordError,
  type RunRecord,
  type Store,
} from '../records/index.js';
import { storeToRead } from './own-key.js';

/**
 * Opens the store for one question; undefined when there is none yet, and none is made.
 * @param open that of who also writes is openStore
 */
export function withStore<T>(ask: (store: Store) => T, open = storeToRead): T | undefined {
  if (!hasStore()) return undefined;
  const store = open();
  try {
    return ask(store);
  } finally {
    store.close();
  }
}

/** The same for what takes its time, or adds to a record. */
export async function withOpenStore<T>(ask: (store: Store) => Promise<T>): Promise<T | undefined> {
  if (!hasStore()) return undefined;
  const store = storeToRead();
  try {
    return await ask(store);
  } finally {
    store.close();
  }
}

/**
 * @param name its id, `last`, or the tag of a unit, whose newest run is meant; in any case; or what the code of a sheet
 * says, the id and its anchor: a record that has not this anchor is not the one that the sheet was made of.
 * @throws InputError
 */
export function knownRun(store: Store, name: string): RunRecord {
  const [, runId, anchor] = /^([^/]+)\/([^/]+)$/.exec(name) ?? [];
  if (runId === undefined || anchor === undefined || !isAnchor(anchor)) return runNamed(store, name);
  const run = runNamed(store, runId);
  if (run.hash !== undefined && isAnchorOf(anchor, run.hash)) return run;
  const own = run.hash === undefined ? 'none yet' : anchorOf(run.hash);
  throw new InputError({
    file: name,
    what: `the run's anchor is ${own}: the sheet is of another store, or its record was changed`,
    mend: 'throwbench log verify tells which',
  });
}

function runNamed(store: Store, name: string): RunRecord {
  try {
    return store.showRun(/^last$/i.test(name) ? 'last' : name);
  } catch (error) {
    if (!(error instanceof RecordError && error.code === 'run-unknown')) throw error;
    const runs = store.listRuns();
    const meant = runs.find(({ runId }) => isSame(runId, name)) ?? runs.find(({ tag }) => isSame(tag, name));
    if (meant) return store.showRun(meant.runId);
    const isId = /^\d{4}-\d\d-\d\d-/.test(name);
    const near = isId ? undefined : nearestName(name, new Set(runs.map(({ tag }) => tag)));
    if (near === undefined) throw unknownRun(name, 'no such run');
    throw new InputError({ file: name, what: 'no such run', mend: `did you mean ${near}?` });
  }
}

const isSame = (one: string, other: string): boolean => one.toLowerCase() === other.toLowerCase();

export const noRuns = (runId: string): InputError =>
  unknownRun(runId, `no runs are recorded in ${storePlace()}`);

export const storePlace = (): string => displayPath(logsDir());

const unknownRun = (runId: string, what: string): InputError =>
  new InputError({ file: runId, what, mend: 'throwbench log lists the runs' });

/** What to say where the samples of a run are needed and were taken out; undefined where they were not. */
export const samplesGone = ({ runId, samplesRemoved }: RunRecord): InputError | undefined =>
  samplesRemoved &&
  new InputError({
    file: runId,
    what: 'this run has no samples',
    mend: `they were taken out and lie in ${samplesRemoved.archive}; copied as throwbench.sqlite into a folder that THROWBENCH_LOGS names, they can be used`,
  });
