// Puts a bench together for `run` and `tray`: the store, the desk, and the rig on a port or the virtual one.

import { type Connection, openDesk, runTray } from '../bench/index.js';
import { nativePort, wallClock } from '../link/index.js';
import { openStore } from '../records/index.js';
import { connectRig } from '../rig/index.js';
import { openVirtualRig } from '../virtual-rig/index.js';
import type { BenchDriver, OpenBench, SessionUnit } from './bench-session.js';
import { checkPort } from './check-port.js';
import { UsageError } from './command.js';

export const openBench: OpenBench = async (request, { paced }): Promise<BenchDriver> => {
  const connect = request.port === undefined ? undefined : await realRig(request.port);
  const store = openStore();
  const desk = openDesk();
  return {
    runTray: ({ signal, beforeUnit }) =>
      runTray({
        units: request.units.map((entry) => ({
          tag: entry.tag,
          unit: entry.unit,
          connect: connect ? (onWaiting) => connect(entry, onWaiting) : () => virtualRig(entry, paced),
        })),
        store,
        desk,
        signal,
        beforeUnit,
        now: () => new Date(),
      }),
    async close() {
      await desk.close();
      store.close();
    },
  };
};

async function virtualRig(entry: SessionUnit, paced: boolean): Promise<Connection> {
  const { unit, virtualCase } = entry;
  if (!virtualCase) throw new UsageError(`unit ${entry.tag} names no virtual case and no port was given`);
  const virtual = openVirtualRig({ unit, virtualCase, paced });
  try {
    const rig = await connectRig({ port: virtual, clock: virtual.clock, rigProfile: unit.rig });
    return {
      rig,
      async close() {
        await rig.close();
        virtual.close();
      },
    };
  } catch (error) {
    virtual.close();
    throw error;
  }
}

/** Opened afresh for each unit: the reset that opening causes is one more proof that outputs are off. */
async function realRig(
  path: string,
): Promise<(entry: SessionUnit, onWaiting: (error: Error) => void) => Promise<Connection>> {
  await checkPort(path);
  const port = await nativePort(path);
  return async ({ unit }, onWaiting) => {
    const rig = await connectRig({ port, clock: wallClock, rigProfile: unit.rig, onWaiting });
    return { rig, close: () => rig.close() };
  };
}
