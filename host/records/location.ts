// Where records lie: THROWBENCH_LOGS, else logs/ of the checkout, else a folder in the user's home.

import { existsSync } from 'node:fs';
import { homedir } from 'node:os';
import { join, resolve } from 'node:path';
import { programDir } from '../program/index.js';

export const LOGS_VARIABLE = 'THROWBENCH_LOGS';
export const STORE_FILE = 'throwbench.sqlite';
/** Folder of photos beside the store. */
export const PHOTOS = 'photos';

/** The folder of the store; it need not exist yet. */
export function logsDir(dir?: string): string {
  const named = dir ?? process.env[LOGS_VARIABLE];
  if (named) return resolve(named);
  const checkout = join(programDir(), 'logs');
  // An installed package has no logs/ of its own, and often lies where the user may not write.
  return existsSync(checkout) ? checkout : join(homedir(), '.throwbench');
}

/** Is there a store already? Reading commands make none. */
export function hasStore(dir?: string): boolean {
  return existsSync(join(logsDir(dir), STORE_FILE));
}
