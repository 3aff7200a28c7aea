// Where things are kept that can be worked out again, and what code works them out.

import { createHash } from 'node:crypto';
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { homedir } from 'node:os';
import { dirname, join, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';

export const CACHE_VARIABLE = 'THROWBENCH_CACHE';

/** The folder, which need not exist; undefined when `THROWBENCH_CACHE=off` wants nothing kept. */
export function cacheDir({
  env,
  platform,
}: Pick<NodeJS.Process, 'env' | 'platform'> = process): string | undefined {
  const named = env[CACHE_VARIABLE];
  if (named === 'off') return undefined;
  if (named) return resolve(named);
  const users = platform === 'win32' ? env.LOCALAPPDATA : env.XDG_CACHE_HOME;
  return join(users || join(homedir(), '.cache'), 'throwbench');
}

let digest: string | undefined;

/** SHA-256 over the code that runs, file by file, and the engine that runs it: another rule is another program. */
export function programDigest(): string {
  digest ??= digestOf(codeDir());
  return digest;
}

/** Built, the whole program lies beside this module; unbuilt, one folder higher. */
function codeDir(): string {
  const here = dirname(fileURLToPath(import.meta.url));
  return existsSync(join(here, 'cli.js')) ? here : dirname(here);
}

/** Of every file with code below a folder, under its name. */
export function digestOf(folder: string): string {
  const files = readdirSync(folder, { recursive: true, encoding: 'utf8' })
    .filter((name) => /\.(?:js|ts|tsx)$/.test(name))
    .sort();
  const hash = createHash('sha256').update(process.version);
  for (const name of files) hash.update(`\n${name}\n`).update(readFileSync(join(folder, name)));
  return hash.digest('hex');
}
