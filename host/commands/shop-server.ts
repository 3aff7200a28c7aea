// Which server this shop gathers its records on: what THROWBENCH_STORE names, else what is settled. A start reads the
// settings file whole only where it may say so.

import { existsSync, readFileSync } from 'node:fs';
import { settingsPath } from '../program/index.js';
import type { WrittenAddress } from '../records/index.js';

/** Of the environment; loading the records for its name would cost a start more than all else here. */
const VARIABLE = 'THROWBENCH_STORE';

/**
 * Undefined where none is named. The variable wins, also where it is set to nothing: that call then goes without.
 * @throws InputError with file and line for settings that cannot be meant
 */
export async function namedServer(path = settingsPath()): Promise<WrittenAddress | undefined> {
  const named = process.env[VARIABLE];
  if (named !== undefined) return named.trim() === '' ? undefined : { text: named, place: VARIABLE };
  if (!existsSync(path) || !/store/.test(readFileSync(path, 'utf8'))) return undefined;
  const { readSettings } = await import('./settings.js');
  const { store } = readSettings(path);
  if (store === undefined) return undefined;
  const { displayPath } = await import('../input/index.js');
  return { text: store, place: `${displayPath(path)}: store` };
}
