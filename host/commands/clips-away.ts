// A sense clip that was moved for a probe and not seen back: with it anywhere else a run would accuse good leads, so none
// is made on that rig.

import type { Connection } from '../bench/index.js';
import type { RunEntry, Store } from '../records/index.js';

export class ClipAwayError extends Error {
  override name = 'ClipAwayError';
  readonly code = 'clip-away';
  readonly advice: string;

  constructor(entry: RunEntry) {
    const what = entry.kind === 'clip-moved' ? entry.sentence : 'A sense clip was moved.';
    super(`${what} It has not been seen back on the motor's terminal, so this rig makes no run.`);
    this.advice = `Bite it on again, then: throwbench probe ${entry.runId} --clip-back --port PATH`;
  }
}

/** Closes the connection and throws where a clip of this rig is away. */
export async function refuseAwayClips(
  connection: Connection,
  store: Pick<Store, 'clipsAway'>,
): Promise<void> {
  const [away] = store.clipsAway(connection.rig.facts.rigId);
  if (away === undefined) return;
  await connection.close();
  throw new ClipAwayError(away);
}
