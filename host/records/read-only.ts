// A store on a disk that may not be written, such as a copy on a disc or on a share that others keep: SQLite cannot open
// one that is written beside a log, so it is read from a copy in the folder for temporary files.

import { copyFileSync, existsSync, mkdtempSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { STORE_FILE } from './location.js';

/** What is written and not yet in the file itself. */
const LOG = '-wal';
const TRIES = 3;

export interface ReadCopy {
  path: string;
  remove: () => void;
}

/**
 * One moment of the store.
 * @returns undefined where the file changes under the hand: somebody records there, and only who may write can read along
 * @throws the file system's own errors
 */
export function copyToRead(path: string): ReadCopy | undefined {
  const folder = mkdtempSync(join(tmpdir(), 'throwbench-read-only-'));
  const remove = () => rmSync(folder, { recursive: true, force: true });
  const copy = join(folder, STORE_FILE);
  try {
    for (let i = 0; i < TRIES; i++) {
      const before = stateOf(path);
      copyFileSync(path, copy);
      if (existsSync(`${path}${LOG}`)) copyFileSync(`${path}${LOG}`, `${copy}${LOG}`);
      if (stateOf(path) === before) return { path: copy, remove };
    }
    remove();
    return undefined;
  } catch (error) {
    remove();
    throw error;
  }
}

const stateOf = (path: string): string =>
  [path, `${path}${LOG}`]
    .map((file) => {
      const { mtimeNs, size } = statSync(file, { bigint: true, throwIfNoEntry: false }) ?? {};
      return `${mtimeNs} ${size}`;
    })
    .join(' ');
