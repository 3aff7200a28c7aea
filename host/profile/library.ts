// Where profiles lie: the user's own folder first (THROWBENCH_PROFILES), then those that come with the program.

import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { basename, extname, join, resolve } from 'node:path';
import { displayPath, InputError, nearestName } from '../input/index.js';
import { programDir } from '../program/index.js';

/** Kinds of profile and the folders that hold them. */
export const FOLDERS = {
  unit: ['units', 'demo'],
  tray: ['demo'],
  case: ['demo/cases'],
  circuit: ['circuits'],
  motor: ['motors'],
  load: ['loads'],
  relay: ['relays'],
  rig: ['rigs'],
  plan: ['plans'],
  parts: ['parts'],
} as const;
export type ProfileKind = keyof typeof FOLDERS;

/** A file of a kind, as one says it. */
export const aFileOf = (kind: string): string => (kind === 'parts' ? 'a parts file' : `a ${kind}`);

/** Searched before the program's own profiles. */
export const PROFILES_VARIABLE = 'THROWBENCH_PROFILES';

/** The program's own profiles/. */
const ownProfilesDir = (): string => join(programDir(), 'profiles');

/** Folders in the order of search: the one handed in, else the user's; then the program's own. */
export function profileDirs(profilesDir?: string): string[] {
  const first = profilesDir ?? process.env[PROFILES_VARIABLE];
  if (!first) return [ownProfilesDir()];
  const folder = resolve(first);
  if (!existsSync(folder)) {
    const file = profilesDir === undefined ? `${PROFILES_VARIABLE}=${first}` : first;
    throw new InputError({
      file,
      what: 'no such folder',
      mend: 'name a folder with units/, motors/ and so on in it',
    });
  }
  return [...new Set([folder, ownProfilesDir()])];
}

/** Is it meant as a path, not as the id of a known profile? */
export function looksLikePath(ref: string): boolean {
  return /[\\/]/.test(ref) || /\.ya?ml$/i.test(ref);
}

/** Path of the file for `id`, or undefined. */
export function findProfile(kind: ProfileKind, id: string, dirs: readonly string[]): string | undefined {
  for (const dir of dirs) {
    for (const folder of FOLDERS[kind]) {
      for (const extension of ['.yaml', '.yml']) {
        const path = join(dir, folder, id + extension);
        if (existsSync(path)) return path;
      }
    }
  }
  return undefined;
}

/** Whether a file says that it is of this kind; a folder such as demo/ may hold several kinds. */
function saysKind(path: string, kind: ProfileKind): boolean {
  const said = /^kind:\s*["']?([a-z]+)/m.exec(readFileSync(path, 'utf8'))?.[1];
  return said === undefined || said === kind;
}

/** Ids of a kind in all folders, sorted, each once. */
export function profileIds(kind: ProfileKind, dirs: readonly string[]): string[] {
  const ids = new Set<string>();
  for (const dir of dirs) {
    for (const folder of FOLDERS[kind]) {
      if (!existsSync(join(dir, folder))) continue;
      for (const name of readdirSync(join(dir, folder))) {
        if (/\.ya?ml$/.test(name) && saysKind(join(dir, folder, name), kind))
          ids.add(basename(name, extname(name)));
      }
    }
  }
  return [...ids].sort();
}

/** Path of the profile that `ref` names: a path, or an id. @throws InputError with the nearest known id. */
export function resolveProfile(kind: ProfileKind, ref: string, dirs: readonly string[]): string {
  if (looksLikePath(ref)) return resolve(ref);
  const path = findProfile(kind, ref, dirs);
  if (path !== undefined) return path;
  throw new InputError({ file: ref, ...unknownId(kind, ref, dirs) });
}

export function unknownId(
  kind: ProfileKind,
  id: string,
  dirs: readonly string[],
): { what: string; mend: string } {
  const known = profileIds(kind, dirs);
  const near = nearestName(id, known);
  const where = dirs.map((dir) => displayPath(join(dir, FOLDERS[kind][0]))).join(' or ');
  return {
    what: `no ${kind} of this id in ${where}`,
    mend: near
      ? `did you mean ${near}?`
      : known.length > 0
        ? `known: ${known.join(', ')}`
        : `put ${id}.yaml there`,
  };
}
