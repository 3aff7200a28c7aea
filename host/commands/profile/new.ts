// `profile new`: a few questions, and a commented motor and unit that check takes and run runs.

import { existsSync, mkdirSync, rmSync, writeFileSync } from 'node:fs';
import { dirname, join, relative, resolve } from 'node:path';
import { displayPath, InputError } from '../../input/index.js';
import { checkFile, PROFILES_VARIABLE, type ProfileKind } from '../../profile/index.js';
import { programDir } from '../../program/index.js';
import { type CommandIo, EXIT } from '../command.js';
import { Dialogue } from './dialogue.js';
import { askAll } from './questions.js';
import { motorText, unitText } from './written.js';

const DEFAULT_FOLDER = 'my-profiles';

/** @throws InputError for a folder that cannot be written, or a file that is there already */
export async function writeNew(io: CommandIo, folder: string | undefined): Promise<number> {
  const dir = folderOf(io, folder);
  const dialogue = new Dialogue(io);
  try {
    dialogue.tell('Enter takes what stands in [brackets]; "I do not know" is an answer too.\n');
    const { unit, motor } = await askAll(dialogue, (id) => isTaken(dir, id));
    // Who has left has not taken the defaults; a pipe that has ended has.
    if (io.closed?.aborted) return EXIT.usage;
    const files: NewFile[] = [];
    const unitPath = join(dir, 'units', `${unit.id}.yaml`);
    if (motor)
      files.push({
        kind: 'motor',
        path: join(dir, 'motors', `${motor.id}.yaml`),
        text: (schema) => motorText(motor, schema),
      });
    files.push({ kind: 'unit', path: unitPath, text: (schema) => unitText(unit, schema) });
    write(files);
    checkFile(unitPath);
    const names = files.map(({ path }) => displayPath(path));
    const profile = displayPath(unitPath);
    dialogue.tell(`\nWritten and checked: ${names.join(' and ')}`);
    dialogue.tell(`See it:    throwbench profile show ${profile}`);
    dialogue.tell(`Try it:    throwbench run --profile ${profile} --unit TRY-1 --virtual good`);
    dialogue.tell(`With a rig: throwbench run --profile ${profile} --unit TAG --port PATH`);
    return EXIT.pass;
  } finally {
    dialogue.close();
  }
}

const isTaken = (dir: string, id: string): boolean =>
  ['motors', 'units'].some((kind) => existsSync(join(dir, kind, `${id}.yaml`)));

/** Where new files go: as told, else the person's own profiles. */
export const folderOf = (io: CommandIo, folder: string | undefined): string =>
  resolve(io.cwd, folder ?? process.env[PROFILES_VARIABLE] ?? DEFAULT_FOLDER);

export interface NewFile {
  kind: ProfileKind;
  path: string;
  /** @param schema path of the JSON Schema, as the file should name it */
  text: (schema: string) => string;
}

/** All or none. @throws InputError */
export function write(files: readonly NewFile[]): void {
  const written: string[] = [];
  try {
    for (const { kind, path, text } of files) {
      mkdirSync(dirname(path), { recursive: true });
      const own = join(programDir(), 'profiles', 'schemas', `${kind}.json`);
      const near = relative(dirname(path), own);
      const schema = near.length < own.length ? near : own;
      writeFileSync(path, text(schema.replaceAll('\\', '/')), { flag: 'wx' });
      written.push(path);
    }
  } catch (error) {
    for (const path of written) rmSync(path, { force: true });
    const [last] = files.map(({ path }) => path).slice(written.length);
    const code = (error as NodeJS.ErrnoException).code ?? String(error);
    throw new InputError(
      {
        file: displayPath(last ?? ''),
        what: code === 'EEXIST' ? 'exists already' : `cannot be written (${code})`,
        mend: 'choose another name, or another folder with --folder DIR',
      },
      { cause: error },
    );
  }
}
