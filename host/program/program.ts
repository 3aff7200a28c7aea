// Where this program lies and which version it is: from the sources, from a build and installed alike.

import { existsSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

let folder: string | undefined;

/** The folder with package.json and profiles/ in it. */
export function programDir(): string {
  folder ??= folderAbove(fileURLToPath(import.meta.url));
  return folder;
}

function folderAbove(path: string): string {
  const above = dirname(path);
  if (above === path) throw new Error(`no profiles/ beside package.json above ${import.meta.url}`);
  const isIt = existsSync(join(above, 'package.json')) && existsSync(join(above, 'profiles'));
  return isIt ? above : folderAbove(above);
}

/** As package.json tells it; it goes into every record. */
export function programVersion(): string {
  const { version } = JSON.parse(readFileSync(join(programDir(), 'package.json'), 'utf8')) as {
    version: string;
  };
  return version;
}
