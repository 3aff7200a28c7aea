// A virtual rig as a run is handed its rig: connected, and closed with it.

import type { Connection } from '../../host/bench/index.js';
import type { RigProfile } from '../../host/profile/index.js';
import { connectRig } from '../../host/rig/index.js';
import type { VirtualRig } from '../../host/virtual-rig/index.js';

export async function connectionTo(virtual: VirtualRig, rigProfile: RigProfile): Promise<Connection> {
  const rig = await connectRig({ port: virtual, clock: virtual.clock, rigProfile });
  return {
    rig,
    async close() {
      await rig.close();
      virtual.close();
    },
  };
}
