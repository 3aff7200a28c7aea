// Asks the board for a burst, waits for its word that the burst is done, and fetches it piece by piece.

import { unpackSamples } from '../../firmware-protocol/index.js';
import { type Link, LinkError } from '../link/index.js';
import type { RigProfile } from '../profile/index.js';
import { type Burst, type BurstDone, type BurstRequest, burstInputs, burstOf, burstPlaces } from './burst.js';

export async function prepareBurst(
  link: Link,
  request: BurstRequest,
  clockHz: number,
  scales: RigProfile['scales'],
): Promise<{ read(withinS: number): Promise<Burst> }> {
  const inputs = burstInputs(request);
  let tellDone: (done: BurstDone) => void = () => {};
  const done = new Promise<BurstDone>((resolve) => {
    tellDone = resolve;
  });
  const unsubscribe = link.onEvent((event) => {
    if (event.kind === 'burst') tellDone(event.done);
  });
  const read = async (withinS: number): Promise<Burst> => {
    const facts = await within(link, done, withinS);
    const counts: number[] = [];
    for (const from of burstPlaces(facts.samples)) {
      const { samples } = await link.request({ verb: 'burst-read', from });
      counts.push(...unpackSamples(samples));
    }
    await link.request({ verb: 'burst-end' });
    return burstOf(request, facts, counts.slice(0, facts.samples), clockHz, scales);
  };
  try {
    // What an earlier one left is forgotten, whether anybody has read it or not.
    await link.request({ verb: 'burst-end' });
    await link.request({ verb: 'burst', inputs, edge: request.edge, before: request.beforeSamples });
  } catch (error) {
    unsubscribe();
    throw error;
  }
  return { read: (withinS) => read(withinS).finally(unsubscribe) };
}

function within(link: Link, done: Promise<BurstDone>, withinS: number): Promise<BurstDone> {
  return new Promise((resolve, reject) => {
    const timer = link.options.clock.after(withinS, () =>
      reject(new LinkError('reply-timeout', { path: link.path, request: 'burst', waitedS: withinS })),
    );
    void done.then((told) => {
      timer.cancel();
      resolve(told);
    });
  });
}
