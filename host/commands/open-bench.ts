// Puts a bench together for `run` and `tray`: the store, the desk, and the rig on a port or the virtual one.

import { type Connection, openDesk, runTray } from '../bench/index.js';
import type { UnitCircuit } from '../circuit/index.js';
import { known } from '../fields/index.js';
import { nativePort, wallClock } from '../link/index.js';
import type { ResolvedUnit, RigProfile, VirtualCase } from '../profile/index.js';
import { openStore } from '../records/index.js';
import { connectRig } from '../rig/index.js';
import type { BenchLoaded } from './bench-named.js';
import type { BenchDriver, OpenBench, SessionUnit } from './bench-session.js';
import { checkPort } from './check-port.js';
import { refuseAwayClips } from './clips-away.js';
import { UsageError } from './command.js';

export const openBench: OpenBench = async (request, { paced }): Promise<BenchDriver> => {
  const connect = request.port === undefined ? undefined : await realRig(request.port, request.rigId);
  const store = openStore();
  const desk = openDesk();
  return {
    runTray: ({ signal, beforeUnit, confirm, choose }) =>
      runTray({
        units: request.units.map((entry) => ({
          tag: entry.tag,
          unit: entry.unit,
          connect: async (onWaiting) => {
            // What measures loads while the cautions are read, and before the rig is opened.
            const { withCalibration } = await import('./calibrated-rig.js');
            const connection = connect
              ? await connect(entry.unit.rig, onWaiting)
              : await virtualRig(entry, paced);
            // On the virtual bench every clip is where it belongs each time.
            if (connect) await refuseAwayClips(connection, store);
            return withCalibration(connection, store, entry.unit);
          },
        })),
        store,
        desk,
        signal,
        beforeUnit,
        ...known({ confirm, choose, readCircuit: request.readCircuit }),
        now: () => new Date(),
      }),
    async close() {
      await desk.close();
      store.close();
    },
  };
};

/** A rig alone, as `calibrate` wants it: uncorrected, on a port or with a virtual case on it. */
export async function openRig({ rigProfile, port, unit, virtualCase }: BenchLoaded): Promise<Connection> {
  if (port !== undefined) return (await realRig(port, undefined))(rigProfile);
  if (!unit || !virtualCase) throw new UsageError('a virtual rig needs a unit and a case');
  return virtualRig({ tag: 'calibrate', unit, virtualCase }, false);
}

/** The virtual rig with a case on it, uncorrected: what a training run wants. */
export const openVirtual = (
  unit: ResolvedUnit,
  virtualCase: VirtualCase,
  paced: boolean,
): Promise<Connection> => virtualRig({ tag: 'training', unit, virtualCase }, paced);

/** The rig that a probing reads with: on a port, or the virtual one with what a hand has moved on it. */
export const openForProbe = async (
  unit: ResolvedUnit,
  on: { port: string; rigId: string | undefined } | { virtualCase: VirtualCase; wired: Wired },
): Promise<Connection> =>
  'port' in on
    ? (await realRig(on.port, on.rigId))(unit.rig)
    : virtualRig({ tag: 'probe', unit, virtualCase: on.virtualCase }, false, on.wired);

export type Wired = (circuit: UnitCircuit) => UnitCircuit;

async function virtualRig(entry: SessionUnit, paced: boolean, wired?: Wired): Promise<Connection> {
  const { virtualCase, trueMotor } = entry;
  const unit = trueMotor ? { ...entry.unit, motor: trueMotor } : entry.unit;
  if (!virtualCase) throw new UsageError(`unit ${entry.tag} names no virtual case and no port was given`);
  // The emulated board and its circuit load while the cautions are read.
  const { openVirtualRig } = await import('../virtual-rig/index.js');
  const virtual = openVirtualRig({ unit, virtualCase, paced, ...known({ wired }) });
  try {
    const rig = await connectRig({ port: virtual, clock: virtual.clock, rigProfile: unit.rig });
    return {
      rig,
      async close() {
        await rig.close();
        virtual.close();
      },
      ...(virtual.hear ? { hear: virtual.hear } : {}),
    };
  } catch (error) {
    virtual.close();
    throw error;
  }
}

/** Opened afresh for each unit: the reset that opening causes is one more proof that outputs are off. */
async function realRig(
  path: string,
  rigId: string | undefined,
): Promise<(rigProfile: RigProfile, onWaiting?: (error: Error) => void) => Promise<Connection>> {
  await checkPort(path);
  const port = await nativePort(path);
  return async (rigProfile, onWaiting) => {
    const rig = await connectRig({ port, clock: wallClock, rigProfile, ...known({ onWaiting, rigId }) });
    return { rig, close: () => rig.close() };
  };
}
