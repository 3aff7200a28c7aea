// Pushed events as an async iterable; bounded only by what one run can produce.

import { Readable } from 'node:stream';

/** Runs `work`, which pushes events, and hands them out as they come. A throw in `work` ends the stream with it. */
export function streamOf<T>(work: (emit: (event: T) => void) => Promise<void>): AsyncIterable<T> {
  const events = new Readable({ objectMode: true, read: () => {} });
  const done = work((event) => events.push(event)).finally(() => events.push(null));
  // Told to whoever has taken every event before it; nobody may be left who does.
  done.catch(() => {});
  return (async function* () {
    yield* events;
    await done;
  })();
}
