// A file of a person's own that is not found by its id, since it has another name than that or lies in another folder.

import { existsSync, readdirSync, readFileSync, statSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { displayPath } from '../input/index.js';
import { FOLDERS, type ProfileKind } from './library.js';

/** What to do with a file near a unit's that says to be what is sought, and has another name or lies elsewhere. */
export function misplaced(kind: ProfileKind, id: string, unitPath: string): string | undefined {
  const folder = dirname(dirname(unitPath));
  const [where] = FOLDERS[kind];
  const found = saysId(kind, id, [folder, join(folder, where), dirname(unitPath)]);
  return found === undefined
    ? undefined
    : `${displayPath(found)} says to be it: name that file ${displayPath(join(folder, where, `${id}.yaml`))}`;
}

/** Path of a file in one of these folders that says to be of this kind and id, whatever its name is; undefined where none does. */
function saysId(kind: ProfileKind, id: string, folders: readonly string[]): string | undefined {
  const own = new RegExp(`^id:\\s*["']?${id}["']?\\s*(#|$)`, 'm');
  return folders
    .filter((folder) => existsSync(folder))
    .flatMap((folder) => readdirSync(folder).map((name) => join(folder, name)))
    .filter((path) => /\.ya?ml$/i.test(path) && statSync(path).isFile())
    .find((path) => {
      const text = readFileSync(path, 'utf8');
      return own.test(text) && new RegExp(`^kind:\\s*["']?${kind}\\b`, 'm').test(text);
    });
}
