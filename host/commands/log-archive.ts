// Whole copies of the store, and samples that leave it for one.

import { existsSync } from 'node:fs';
import { basename, dirname, join, resolve } from 'node:path';
import { displayPath, InputError, oneLine } from '../input/index.js';
import { fileSha256, openStore, PHOTOS, type Store } from '../records/index.js';
import { type CommandIo, EXIT, jsonText } from './command.js';
import { copyPhotos } from './photos.js';
import { writer } from './shop-writing.js';
import { storePlace, withStore } from './stored-runs.js';

/** @throws InputError where there is no store, or the file is there already */
export function backup(io: CommandIo, file: string, json: boolean): number {
  const path = newFile(io, file);
  const { runs, photos } = inStore(file, (store) => {
    store.backup(path);
    return { runs: store.listRuns().length, photos: photosBeside(store, path) };
  });
  const sha256 = fileSha256(path);
  if (json) {
    io.stdout(jsonText({ file: path, runs, sha256, photos: photos.copied, photosLeft: photos.left.length }));
    return EXIT.pass;
  }
  io.stdout(`${displayPath(path)}: ${runs} runs copied and read back\n`);
  if (photos.copied > 0) io.stdout(`${join(dirname(displayPath(path)), PHOTOS)}: photos ${photos.copied}\n`);
  for (const { tag, fault } of photos.left)
    io.stdout(`unit ${oneLine(tag ?? '')}: ${fault}: it is not in the copy\n`);
  const what = photos.copied > 0 ? 'it, and the photos beside it,' : 'it';
  io.stdout(`To go back to it, put ${what} in the folder of the records, the copy as throwbench.sqlite.\n`);
  return EXIT.pass;
}

/** @throws InputError where they cannot be written; the copy of the store stands then */
function photosBeside(store: Store, path: string): ReturnType<typeof copyPhotos> {
  try {
    return copyPhotos(store, path);
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    if (code === undefined) throw error;
    throw new InputError(
      {
        file: join(dirname(path), PHOTOS),
        what: `the photos cannot be written (${code}); the copy of the store is there`,
        mend: 'check folder, permissions and space, and back up again under another name',
      },
      { cause: error },
    );
  }
}

/** @param before instant, ISO 8601. @throws InputError where there is nothing to take out */
export function archive(
  io: CommandIo,
  file: string,
  { before, json }: { before: string; json: boolean },
): number {
  const path = newFile(io, file);
  const told = inStore(
    file,
    (store) => {
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
    },
    openStore,
  );
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

function inStore<T>(file: string, work: (store: Store) => T, open?: () => Store): T {
  const found = withStore((store) => ({ value: work(store) }), open);
  if (found) return found.value;
  throw new InputError({ file, what: `nothing is recorded in ${storePlace()}`, mend: 'record a run first' });
}
