// How deep the firmware's stack grows in the states that call deepest, on the emulated chip: what variables and stack leave
// of its memory is never written. The Makefile bounds the variables; this bounds the rest.

import { expect, it } from 'vitest';
import { BoardDesk } from './board-desk.js';

const RAM_BYTES = 2048;
/** ATmega328P: an interrupt's return address and registers, twice over, beside whatever a later change adds. */
const SPARE_BYTES = 256;

it('leaves memory to spare with everything at once: fine scan, stream, throw, trip, bursts, noise', () => {
  const desk = new BoardDesk();
  desk.must({ verb: 'set-scan', scan: 'NABMFNABCNABSMNABF' });
  desk.must({ verb: 'set-rig', rigId: 'bench-1-of-a-kin' });
  desk.runMs(100);
  desk.must({ verb: 'stream', stream: 'on' });
  desk.runAliveMs(320);
  desk.must({ verb: 'arm' });
  desk.must({ verb: 'feed', feed: 'full' });
  desk.must({ verb: 'throw', position: 'forward', holdMs: 60_000 });
  for (const verb of ['hello', 'constants', 'state', 'limits', 'counters', 'scan'] as const)
    desk.must({ verb });
  desk.must({ verb: 'off' });
  desk.must({ verb: 'stream', stream: 'off' });
  for (const inputs of ['NM', 'A']) {
    desk.must({ verb: 'burst', inputs, edge: 'now', before: 320 });
    desk.runMs(30);
    desk.must({ verb: 'burst-read', from: 0 });
    desk.must({ verb: 'burst', inputs, edge: 'throw', before: 320 });
    // A line without end while the burst waits leaves the main loop the least time.
    desk.board.receive(
      Uint8Array.from({ length: 2000 }, (_, i) => 0x20 + (i % 95)),
      true,
    );
    desk.runMs(120);
    desk.board.receive(Uint8Array.of(0x0a));
    desk.runMs(5);
    desk.must({ verb: 'burst-end' });
  }
  const left = desk.board.untouchedBytes;
  console.log(`${left} of ${RAM_BYTES} bytes untouched`);
  expect(left).toBeGreaterThan(SPARE_BYTES);
  expect(desk.breaches).toEqual([]);
});
