// This bench's signing key as reading commands need it: a key that is none stops signing, and never the reading.

import { oneLine } from '../input/index.js';
import { openStoreToRead, type PublicKey, RecordError, type Store, shopSigner } from '../records/index.js';

/** What was told already: once is enough, however often the record is opened. */
const told = new Set<string>();

function tellOnce({ message }: RecordError): void {
  const line = `${message}: the record is read all the same, and nothing is recorded until the right key lies there`;
  if (told.has(line)) return;
  told.add(line);
  process.stderr.write(`${oneLine(line)}\n`);
}

/** The store for one question. @throws RecordError where it cannot be read */
export const storeToRead = (): Store => openStoreToRead(undefined, tellOnce);

/** To hold signatures against; undefined where there is none, or none that can be used, which is told. */
export function ownKey(): PublicKey | undefined {
  try {
    return shopSigner();
  } catch (error) {
    if (!(error instanceof RecordError && error.code === 'key-unusable')) throw error;
    tellOnce(error);
    return undefined;
  }
}
