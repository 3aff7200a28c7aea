// Photos of units: files under their hash in a folder beside the store, each told of by an entry of the store.

import { createHash } from 'node:crypto';
import {
  copyFileSync,
  existsSync,
  mkdirSync,
  readFileSync,
  renameSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { dirname, join, resolve } from 'node:path';
import { displayPath, InputError } from '../input/index.js';
import { anchorOf, logsDir, PHOTOS, type Store, standingEntries } from '../records/index.js';

interface Photo {
  sha256: string;
  extension: string;
}

/** Under its hash, in the folder of photos beside the store. */
export const photoName = ({ sha256, extension }: Photo): string => `${sha256}${extension}`;

/** As a person reads it: the beginning of the name, by which the file is found. */
export const photoWords = ({ sha256, extension }: Photo): string => `${anchorOf(sha256)}…${extension}`;

export const photosFolder = (): string => join(logsDir(), PHOTOS);

/**
 * Whole or not at all. Returns its path; undefined where it is kept already.
 * @throws InputError where it cannot be written
 */
export function keepPhoto(photo: Photo, bytes: Uint8Array): string | undefined {
  const path = join(photosFolder(), photoName(photo));
  if (existsSync(path)) return undefined;
  const part = `${path}.part`;
  try {
    mkdirSync(photosFolder(), { recursive: true });
    writeFileSync(part, bytes);
    renameSync(part, path);
    return path;
  } catch (error) {
    rmSync(part, { force: true });
    const what = `the photo cannot be kept (${(error as NodeJS.ErrnoException).code})`;
    throw new InputError(
      {
        file: displayPath(photosFolder()),
        what,
        mend: 'check the folder, its permissions and the space there',
      },
      { cause: error },
    );
  }
}

export interface PhotoSeen extends Photo {
  tag?: string;
  /** What is wrong with its file; absent where nothing is. */
  fault?: string;
}

/** Those that stand; photos of withdrawn entries may be gone. */
export function photosSeen(store: Store): PhotoSeen[] {
  return standingEntries(store.listShopEntries()).flatMap(({ tag, content }): PhotoSeen[] => {
    if (content.kind !== 'photo') return [];
    const { sha256, extension } = content;
    const fault = faultOf(join(photosFolder(), photoName(content)), sha256);
    return [{ sha256, extension, ...(tag === undefined ? {} : { tag }), ...(fault ? { fault } : {}) }];
  });
}

function faultOf(path: string, sha256: string): string | undefined {
  if (!existsSync(path)) return 'a photo of it is gone';
  return hashOf(path) === sha256 ? undefined : 'a photo of it was changed';
}

const hashOf = (path: string): string => createHash('sha256').update(readFileSync(path)).digest('hex');

/**
 * Copies the photos beside the copy of a store, where that one looks for them; those that lie there already stay. Several
 * copies in one folder share them, since a name is a hash.
 * @throws the file system's own errors
 */
export function copyPhotos(store: Store, copy: string): { copied: number; left: PhotoSeen[] } {
  const seen = photosSeen(store);
  const sound = seen.filter(({ fault }) => fault === undefined);
  const names = new Set(sound.map(photoName));
  const folder = join(dirname(copy), PHOTOS);
  if (names.size > 0 && resolve(folder) !== resolve(photosFolder())) {
    mkdirSync(folder, { recursive: true });
    for (const photo of sound) {
      const path = join(folder, photoName(photo));
      if (faultOf(path, photo.sha256) === undefined) continue;
      copyFileSync(join(photosFolder(), photoName(photo)), `${path}.part`);
      renameSync(`${path}.part`, path);
    }
  }
  return { copied: names.size, left: seen.filter(({ fault }) => fault !== undefined) };
}
