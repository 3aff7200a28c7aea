// A host in a process of its own, for tests that stop or kill it: opens the port natively, arms, throws forward and
// tells what happens, one JSON object a line. Arguments: port path, milliseconds to block the event loop in a row.

import { nativePort, wallClock } from '../../host/link/index.js';
import { connectRig } from '../../host/rig/index.js';
import { RIG } from '../rig/rig-profile.js';

const [path, blockMs = '0'] = process.argv.slice(2);
const tell = (what: object): void => void process.stdout.write(`${JSON.stringify(what)}\n`);

const port = await nativePort(path!);
const rig = await connectRig({ port, clock: wallClock, rigProfile: RIG });
rig.onEvent((event) => {
  if (event.kind !== 'samples') tell(event);
});
await rig.startStream();
await rig.arm();
await rig.setFeed('full');
await rig.setPosition('forward', 5);
tell({ kind: 'thrown' });
if (Number(blockMs) > 0) {
  // A screen that draws for so long, with a moment in between.
  for (let draw = 0; draw < 12; draw++) {
    const until = performance.now() + Number(blockMs);
    while (performance.now() < until);
    await wallClock.sleep(0.02);
  }
  tell({ kind: 'drawn', longestSilenceMs: rig.counters().longestSilenceMs });
  await rig.allOff();
  await rig.close();
} else {
  await wallClock.sleep(20);
}
