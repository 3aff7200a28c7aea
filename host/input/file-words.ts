// A file in words: what the user calls it, and why the system would not give it.

import { relative } from 'node:path';

/** Relative to where the user stands when that is shorter to read. */
export function displayPath(path: string): string {
  const near = relative(process.cwd(), path);
  return near === '' || near.startsWith('..') ? path : near;
}

/** What to say of a file that the system would not give. */
export function readFault(error: unknown): { what: string; mend: string } {
  const code = (error as NodeJS.ErrnoException).code;
  if (code === 'ENOENT' || code === 'ENOTDIR') return { what: 'no such file', mend: 'check the path' };
  if (code === 'EACCES' || code === 'EPERM')
    return { what: 'may not be read', mend: 'give yourself read permission' };
  if (code === 'EISDIR') return { what: 'is a directory', mend: 'name a file' };
  if (code === 'ERR_ENCODING_INVALID_ENCODED_DATA')
    return { what: 'is not UTF-8 text', mend: 'save it as UTF-8' };
  return {
    what: `cannot be read (${code ?? (error as Error).message})`,
    mend: 'check the disk and the path',
  };
}
