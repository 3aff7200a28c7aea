// A file of learned limits and the entry of the record that keeps its hash: both, or none.

import { createHash } from 'node:crypto';
import { existsSync, linkSync, rmSync, writeFileSync } from 'node:fs';
import { displayPath, InputError, readFault } from '../input/index.js';
import { anchorOf, type LearnedLimits } from '../records/index.js';
import { inStore, writer } from './shop-writing.js';

const isThere = (path: string): InputError => {
  const free = (n: number): string => path.replace(/(\.ya?ml)?$/i, `-${n}$1`);
  let n = 2;
  while (existsSync(free(n))) n++;
  return new InputError({
    file: displayPath(path),
    what: 'is there already, and limits are never overwritten',
    mend: `name another file, such as ${displayPath(free(n))}`,
  });
};

/** Before anything long is begun. @throws InputError */
export function refuseThere(path: string): void {
  if (existsSync(path)) throw isThere(path);
}

/**
 * @param rests what the limits rest on, as the entry tells it
 * @param by who learned them; as settled where it is not told
 * @returns the anchor of the entry. @throws InputError where the file is there or cannot be written
 */
export function writeAndEnter(
  path: string,
  text: string,
  rests: Omit<LearnedLimits, 'kind' | 'path' | 'sha256'>,
  by: string | undefined,
): string {
  const sha256 = createHash('sha256').update(text).digest('hex');
  const content = { kind: 'learned-limits' as const, path, sha256, ...rests };
  const written = { isThere: false };
  try {
    return inStore((store) =>
      store.together(() => {
        store.addShopEntry({ content, ...writer(by) });
        writeWhole(path, text);
        written.isThere = true;
        return anchorOf(store.learnedEntry(sha256)?.hash ?? '');
      }),
    );
  } catch (error) {
    if (written.isThere) rmSync(path, { force: true });
    throw error;
  }
}

/** In one step, so that half a file never stands there, and never over one that came meanwhile. */
function writeWhole(path: string, text: string): void {
  const part = `${path}.${process.pid}`;
  try {
    writeFileSync(part, text, { flag: 'wx' });
    linkSync(part, path);
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'EEXIST') throw isThere(path);
    throw new InputError({ file: displayPath(path), ...readFault(error) }, { cause: error });
  } finally {
    rmSync(part, { force: true });
  }
}
