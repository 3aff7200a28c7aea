// A profile of whatever kind, by its path or id: for checking, listing and showing.

import { resolve } from 'node:path';
import { InputError, nearestName } from '../input/index.js';
import { listed } from '../tell/index.js';
import {
  FOLDERS,
  findProfile,
  looksLikePath,
  type ProfileKind,
  profileDirs,
  profileIds,
  unknownId,
} from './library.js';
import { dirsBeside, kindOf, loadRig, loadTray, loadUnit, openProfile, SCHEMAS } from './load.js';
import { YamlFile } from './yaml-file.js';

export interface AnyProfile {
  kind: ProfileKind;
  path: string;
  file: YamlFile;
  value: { id: string; title: string };
}

const KINDS = Object.keys(FOLDERS) as ProfileKind[];

/**
 * All profiles that `ref` may mean, at least one: the file at a path, or those of that id, units first; looked for as the
 * file at `beside` would.
 * @throws InputError when there is none, or one is faulty
 */
export function anyProfiles(
  ref: string,
  { kind, beside }: { kind?: ProfileKind; beside?: string } = {},
): [AnyProfile, ...AnyProfile[]] {
  if (looksLikePath(ref)) return [byPath(resolve(ref))];
  const dirs = beside === undefined ? profileDirs() : dirsBeside(beside);
  const [first, ...others] = (kind === undefined ? KINDS : [kind]).flatMap((one) => {
    const path = findProfile(one, ref, dirs);
    if (path === undefined || kindOf(YamlFile.read(path)) !== one) return [];
    return [{ kind: one, path, ...openProfile(one, path) }];
  });
  if (first) return [first, ...others];
  if (kind !== undefined) throw new InputError({ file: ref, ...unknownId(kind, ref, dirs) });
  const near = nearestName(ref, new Set(KINDS.flatMap((one) => profileIds(one, dirs))));
  throw new InputError({
    file: ref,
    what: 'no profile of this id',
    mend: near ? `did you mean ${near}?` : 'throwbench profile list tells them',
  });
}

/**
 * A file with all that it refers to, whatever kind it says to be.
 * @param ref its path, or an id
 * @throws InputError with the first fault
 */
export function checkFile(ref: string): AnyProfile {
  const [found] = anyProfiles(ref);
  if (found.kind === 'unit') loadUnit(found.path);
  if (found.kind === 'rig') loadRig(found.path);
  if (found.kind === 'tray') {
    for (const [index, { profile, virtual }] of loadTray(found.path).units.entries()) {
      for (const [key, kind, id] of [
        ['profile', 'unit', profile],
        ['virtual', 'case', virtual],
      ] as const) {
        if (id === undefined || findProfile(kind, id, profileDirs()) !== undefined) continue;
        const { what, mend } = unknownId(kind, id, profileDirs());
        throw found.file.fault(['units', index, key], `'${id}': ${what}`, mend);
      }
    }
  }
  return found;
}

function byPath(path: string): AnyProfile {
  const file = YamlFile.read(path);
  const said = kindOf(file);
  const kind = KINDS.find((one) => one === said);
  if (kind !== undefined) return { kind, path, ...openProfile(kind, path, true) };
  const near = typeof said === 'string' ? nearestName(said, KINDS) : undefined;
  const mend = near ? `did you mean ${near}?` : `write ${listed(Object.keys(SCHEMAS), 'or')}`;
  throw said === undefined
    ? file.fault([], 'kind is missing', `write a line such as kind: motor (${listed(KINDS, 'or')})`)
    : file.fault(['kind'], `'${String(said)}' is not known`, mend);
}
