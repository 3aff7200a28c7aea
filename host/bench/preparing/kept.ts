// What was worked out for a profile, kept on disk between processes. It is found by the content of all that it rests on,
// the program's own code among it, so nothing stale is ever found; what is broken counts as not there.

import { createHash } from 'node:crypto';
import {
  mkdirSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  statSync,
  utimesSync,
  writeFileSync,
} from 'node:fs';
import { join } from 'node:path';
import { deserialize, serialize } from 'node:v8';
import { cacheDir, programDigest } from '../../program/index.js';

/** Up to six megabytes each; enough for every profile of a workshop. */
const MOST_FILES = 60;
const ENDING = '.kept';
const DIGEST_BYTES = 32;

export interface Kept<T> {
  find(): T | undefined;
  /** A disk that is full or locked costs the next process time and nothing else. */
  keep(value: T): void;
}

/** A place for one value without functions. @param of all that it depends on beside the program; plain data. */
export function kept<T>(name: string, of: unknown, dir = cacheDir()): Kept<T> {
  if (dir === undefined) return { find: () => undefined, keep: () => {} };
  const key = createHash('sha256').update(`${programDigest()}\n${name}\n${JSON.stringify(of, exactly)}`);
  const path = join(dir, `${key.digest('hex').slice(0, 40)}${ENDING}`);
  return {
    find: () => {
      try {
        const bytes = readFileSync(path);
        const body = bytes.subarray(DIGEST_BYTES);
        if (!digestOf(body).equals(bytes.subarray(0, DIGEST_BYTES))) return undefined;
        const now = new Date();
        utimesSync(path, now, now);
        // What this program wrote under this key is such a value: name and code are part of the key.
        return deserialize(body) as T;
      } catch {
        return undefined;
      }
    },
    keep: (value) => {
      try {
        const body = serialize(value);
        mkdirSync(dir, { recursive: true });
        writeWhole(path, Buffer.concat([digestOf(body), body]));
        dropOldest(dir);
      } catch {
        // Told to nobody: it is a matter of time alone.
      }
    },
  };
}

/** In one step, so that no other process reads half of it. */
function writeWhole(path: string, bytes: Uint8Array): void {
  const part = `${path}.${process.pid}`;
  try {
    writeFileSync(part, bytes);
    renameSync(part, path);
  } finally {
    rmSync(part, { force: true });
  }
}

const digestOf = (body: Uint8Array): Buffer => createHash('sha256').update(body).digest();

/** JSON has no infinity and would write one as it writes nothing. */
const exactly = (_: string, value: unknown): unknown =>
  typeof value === 'number' && !Number.isFinite(value) ? `${value}` : value;

function dropOldest(dir: string): void {
  const files = readdirSync(dir).filter((name) => name.includes(ENDING));
  if (files.length <= MOST_FILES) return;
  const byAge = files
    .map((name) => ({ path: join(dir, name), usedMs: statSync(join(dir, name)).mtimeMs }))
    .sort((a, b) => b.usedMs - a.usedMs);
  for (const { path } of byAge.slice(MOST_FILES)) rmSync(path, { force: true });
}
