// Puts a bench together for `run` and `tray`: the store, the desk, and the rig on a port or the virtual one.

import { type Connection, openDesk, runTray, type TrayUnit } from '../bench/index.js';
import type { Channel } from '../capture/index.js';
import type { UnitCircuit } from '../circuit/index.js';
import { known } from '../fields/index.js';
import { nativePort, wallClock } from '../link/index.js';
import type { ResolvedUnit, RigProfile, VirtualCase } from '../profile/index.js';
import { openStore } from '../records/index.js';
import { connectRig } from '../rig/index.js';
import type { BenchDriver, OpenBench, SessionUnit } from './bench-driver.js';
import type { BenchLoaded } from './bench-named.js';
import { checkPort } from './check-port.js';
import { refuseAwayClips } from './clips-away.js';
import { UsageError } from './command.js';
import { cautionsOf, KeptSitting } from './kept-sitting.js';

export const openBench: OpenBench = async (request, { paced }): Promise<BenchDriver> => {
  const { port, rigId, settings = {} } = request;
  const connect = port === undefined ? undefined : await realRig(port, rigId);
  const store = openStore();
  const desk = openDesk();
  const sitting = new KeptSitting(store, request);
  const { operator } = settings;
  const unitOf = (entry: SessionUnit, index: number): TrayUnit => ({
    // A unit that is known is not another one for being written in another case.
    tag: store.tagAsKnown(entry.tag),
    unit: entry.unit,
    // Looked at when a run begins: a list of which nothing was run is no sitting.
    get turn() {
      return sitting.turn(index);
    },
    ...known({ operator, before: entry.before }),
    connect: async (onWaiting) => {
      // What measures loads while the cautions are read, and before the rig is opened.
      const { withCalibration } = await import('./calibrated-rig.js');
      const connection = connect ? await connect(entry.unit.rig, onWaiting) : await virtualRig(entry, paced);
      // On the virtual bench every clip is where it belongs each time.
      if (connect) await refuseAwayClips(connection, store);
      return withCalibration(connection, store, entry.unit);
    },
  });
  return {
    runTray: ({ more, ...control }) => {
      const list = [...request.units];
      const next = more && {
        more: async () => {
          const entry = await more();
          if (entry === undefined || entry === 'back') return entry;
          // The same unit once more is its next attempt.
          const place = list.findIndex(
            ({ tag, unit }) => tag === entry.tag && unit.unit.id === entry.unit.unit.id,
          );
          if (place >= 0) return place;
          sitting.join(entry);
          return unitOf(entry, list.push(entry) - 1);
        },
      };
      return runTray({
        ...control,
        ...next,
        units: request.units.map(unitOf),
        ...{ store, desk, keeper: sitting },
        ...known({ readCircuit: request.readCircuit, wantsWay: settings.askWay }),
        now: () => new Date(),
      });
    },
    cautions: cautionsOf(store, operator, rigId),
    async close() {
      await desk.close();
      store.close();
    },
  };
};

/** A rig alone. On the virtual bench there is a meter without error for each channel. */
export type BareRig = Connection & { meter?(channel: Channel): number };

/**
 * A rig as `calibrate` wants it: uncorrected, on a port or with a virtual case on it.
 * @param paced a virtual one follows the wall clock, for a person to keep up with
 */
export async function openRig(
  { rigProfile, port, unit, virtualCase }: BenchLoaded,
  paced = false,
): Promise<BareRig> {
  if (port !== undefined) return (await realRig(port, undefined))(rigProfile);
  if (!unit || !virtualCase) throw new UsageError('a virtual rig needs a unit and a case');
  return virtualRig({ tag: 'calibrate', unit, virtualCase }, paced);
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

async function virtualRig(entry: SessionUnit, paced: boolean, wired?: Wired): Promise<BareRig> {
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
      ...known({ hear: virtual.hear, meter: virtual.meter, turned: virtual.turned }),
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

/** Who answers on that port; it is closed again. @throws LinkError, also for another rig than `rigId` */
export async function greetedRig(
  path: string,
  rigId: string | undefined,
  profile: RigProfile,
): Promise<string> {
  const { rig, close } = await (await realRig(path, rigId))(profile);
  await close();
  return rig.facts.rigId;
}
