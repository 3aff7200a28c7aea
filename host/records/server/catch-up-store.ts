// The store of this bench and the server of the shop, brought together once.

import type { ServerAddress } from '../server-address.js';
import { type CaughtUp, catchUp } from './catch-up.js';
import { ATTENDED, type Patience, withServer } from './connect.js';
import { LocalChain } from './local-chain.js';
import { noteReached, type Waiting, waitingFor } from './reached.js';

export interface Occasion {
  patience?: Patience;
  signal?: AbortSignal;
  /** Hears what the server has not yet: at once, as far as is known here, and after each batch. */
  onWaiting?: (waiting: Waiting) => void;
}

/**
 * @param store path of its file, which is there and of the newest version
 * @throws RecordError
 */
export async function catchUpStore(
  store: string,
  address: ServerAddress,
  { patience = ATTENDED, signal, onWaiting }: Occasion = {},
): Promise<CaughtUp> {
  const { name } = address;
  const local = new LocalChain(store);
  try {
    onWaiting?.(waitingFor(store, name, local));
    const onReached = (place: number) => {
      noteReached(store, name, local, place);
      onWaiting?.(local.behind(place));
    };
    return await withServer(
      address,
      (server) => catchUp(local, server, { name, onReached, ...(signal ? { signal } : {}) }),
      patience,
    );
  } finally {
    local.close();
  }
}
