// One contract for every rig. THROWBENCH_PORT=/dev/... adds the real one: supply on, no unit connected.

import { describe, it } from 'vitest';
import { nativePort, wallClock } from '../../host/link/index.js';
import { openEmulatedRig } from '../../host/virtual-rig/index.js';
import { describeRig } from './contract.js';
import { PlainWorld } from './plain-world.js';

describeRig('shipped firmware on the emulated board', async () => {
  const virtual = openEmulatedRig({ world: new PlainWorld(), paced: false });
  return { port: virtual, clock: virtual.clock, close: async () => virtual.close() };
});

describeRig('shipped firmware on a board whose clock is 0.3 % slow', async () => {
  const virtual = openEmulatedRig({ world: new PlainWorld(), paced: false, clockErrorPpm: -3000 });
  return { port: virtual, clock: virtual.clock, close: async () => virtual.close() };
});

const path = process.env.THROWBENCH_PORT;
if (path === undefined) {
  describe('contract of a rig: real rig', () => {
    it.skip('needs THROWBENCH_PORT=/dev/... with the supply on and no unit connected', () => {});
  });
} else {
  describeRig(`real rig on ${path}`, async () => ({
    port: await nativePort(path),
    clock: wallClock,
    close: async () => {},
  }));
}
