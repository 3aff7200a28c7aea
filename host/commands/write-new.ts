// A file that a command was asked to write: new, and whole or not at all; `-` is standard output.

import { existsSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { resolve } from 'node:path';
import { displayPath, InputError } from '../input/index.js';
import type { CommandIo } from './command.js';

/** `told` is said of it on standard error. @throws InputError where it exists already or cannot be written */
export function writeNew(io: CommandIo, file: string, content: Uint8Array | string, told: string): void {
  if (file === '-') io.stdout(typeof content === 'string' ? content : Buffer.from(content).toString());
  else writePieces(io, file, (part) => writeFileSync(part, content), told);
}

/** The same for a file that is written piece by piece, to the path that `write` is given. */
export function writePieces(io: CommandIo, file: string, write: (part: string) => void, told: string): void {
  const path = resolve(io.cwd, file);
  if (existsSync(path)) throw new InputError({ file, what: 'exists already', mend: 'choose a new name' });
  const part = `${path}.part`;
  try {
    write(part);
    renameSync(part, path);
  } catch (error) {
    rmSync(part, { force: true });
    const { code } = error as NodeJS.ErrnoException;
    if (code === undefined || !/^E[A-Z]+$/.test(code)) throw error;
    const what = `cannot be written (${code})`;
    throw new InputError({ file, what, mend: 'check folder, permissions and space' }, { cause: error });
  }
  io.stderr(`${displayPath(path)}: ${told}\n`);
}
