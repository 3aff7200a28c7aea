// What the shop writes of its jobs and units: into which store, and who it is that writes.

import { openStore, type Store } from '../records/index.js';
import { readSettings } from './settings.js';

/** Opens the store for one entry, and makes it where there is none. */
export function inStore<T>(write: (store: Store) => T): T {
  const store = openStore();
  try {
    return write(store);
  } finally {
    store.close();
  }
}

/** Who writes: as told, else as settled. */
export const writer = (by: string | undefined): { operator?: string } => {
  const operator = by ?? readSettings().operator;
  return operator === undefined ? {} : { operator };
};
