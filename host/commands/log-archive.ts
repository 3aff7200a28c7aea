// Whole copies of the store, and samples that leave it for one.

import { existsSync } from 'node:fs';
import { basename, resolve } from 'node:path';
import { displayPath, InputError } from '../input/index.js';
import { fileSha256, type Store } from '../records/index.js';
import { type CommandIo, EXIT, jsonText } from './command.js';
import { writer } from './shop-writing.js';
import { storePlace, withStore } from './stored-runs.js';

/** @throws InputError where there is no store, or the file is there already */
export function backup(io: CommandIo, file: string, json: boolean): number {
  const path = newFile(io, file);
  const runs = inStore(file, (store) => {
    store.backup(path);
    return store.listRuns().length;
  });
  const sha256 = fileSha256(path);
  if (json) io.stdout(jsonText({ file: path, runs, sha256 }));
  else
    io.stdout(
      `${displayPath(path)}: ${runs} runs copied and read back\nTo go back to it, put it in the folder of the records as throwbench.sqlite.\n`,
    );
  return EXIT.pass;
}

/** @param before instant, ISO 8601. @throws InputError where there is nothing to take out */
export function archive(
  io: CommandIo,
  file: string,
  { before, json }: { before: string; json: boolean },
): number {
  const path = newFile(io, file);
  const told = inStore(file, (store) => {
    const runs = store.sampledBefore(before);
    if (runs.length === 0)
      throw new InputError({
        file: storePlace(),
        what: 'no run before that day has samples',
        mend: 'choose a later day',
      });
    store.backup(path);
    const sha256 = fileSha256(path);
    const ids = runs.map(({ runId }) => runId);
    store.removeSamples(ids, { path, name: basename(path), sha256 }, writer(undefined).operator);
    const samples = runs.reduce((sum, one) => sum + one.samples, 0);
    return { file: path, sha256, runs: runs.length, samples, isShrunk: store.shrink() };
  });
  if (json) io.stdout(jsonText(told));
  else
    io.stdout(
      `${displayPath(path)}: whole copy, read back; samples of ${told.runs} runs taken out of the store\nKeep that file: it alone has them now.\n${told.isShrunk ? '' : 'Another program holds the store: its file shrinks when log archive runs again.\n'}`,
    );
  return EXIT.pass;
}

function newFile(io: CommandIo, file: string): string {
  const path = resolve(io.cwd, file);
  if (existsSync(path)) throw new InputError({ file, what: 'exists already', mend: 'choose a new name' });
  return path;
}

function inStore<T>(file: string, work: (store: Store) => T): T {
  const found = withStore((store) => ({ value: work(store) }));
  if (found) return found.value;
  throw new InputError({ file, what: `nothing is recorded in ${storePlace()}`, mend: 'record a run first' });
}
