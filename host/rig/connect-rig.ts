// From a port to a rig that can be used: opened, greeted, idle, all outputs off, the profile's dead time set.

import type { ReplyOf, StopName } from '../../firmware-protocol/index.js';
import { known } from '../fields/index.js';
import { type BoardFacts, type Clock, Link, LinkError, type PortChoice } from '../link/index.js';
import type { RigProfile } from '../profile/index.js';
import { checkMotorZero } from './limits.js';
import type { Rig, StopReason } from './rig.js';
import { MOTOR_SCAN, type ScanChoice, scanList } from './scan-list.js';
import { SerialRig, STOP_OF_BOARD, setDeadTime } from './serial-rig.js';

export interface ConnectRigOptions {
  port: PortChoice;
  clock: Clock;
  rigProfile: RigProfile;
  /** Told once when a busy port makes the opening wait. */
  onWaiting?: (error: LinkError) => void;
  busyPatienceS?: number;
  /** The rig that is meant, by the id in its EEPROM; any other is refused with nothing sent to it. */
  rigId?: string;
  /** Default: what a motor needs. */
  scan?: ScanChoice;
}

/**
 * Opens the port, waits for the board, and leaves it idle with all outputs off, the profile's dead time and the scan list
 * set. Rejects with a LinkError (code, advice), or a RangeError when the rig profile cannot fit the board; the port is
 * closed then.
 */
export async function connectRig(options: ConnectRigOptions): Promise<Rig> {
  const { port, rigProfile } = options;
  checkMotorZero(rigProfile.scales);
  const wantedScan = scanList(options.scan ?? MOTOR_SCAN);
  return openIdle(options, async (link, { hello, constants, ...board }) => {
    let { scan } = board;
    const state = await link.request({ verb: 'state' });
    const earlierStop = (await clearEarlierStop(link, state)) ?? reasonOf(hello.earlierStop);
    // An open stop loop keeps the board from taking settings until the stop is cleared; arming will tell.
    if (state.stopLoop === 'closed') {
      await setDeadTime(link, rigProfile);
      // Only when an earlier program has left another one.
      if (scan !== wantedScan) {
        await link.request({ verb: 'set-scan', scan: wantedScan });
        scan = wantedScan;
      }
    }
    const limits = await link.request({ verb: 'limits' });
    const facts = {
      rigId: hello.rigId,
      model: hello.model,
      firmwareVersion: hello.firmware,
      protocolVersion: String(hello.protocol),
      ...known({ hardwareRevision: hello.hardware }),
      port: port.path,
      deadTimeS: Math.max(limits.deadMs / 1000, rigProfile.deadTimeS),
      longestHoldS: Math.min(constants.holdCeilingMs / 1000, rigProfile.longestHoldS),
      hostSilenceS: constants.silenceMs / 1000,
      ...known({ earlierStop }),
    };
    return new SerialRig(link, facts, rigProfile, scan, constants);
  });
}

/**
 * What stop is latched, now cleared; undefined when none is. Cleared only while the stop loop is closed.
 * The answer to the clear tells what it forgot; a 1.0 board's does not, there the state asked before it must do.
 */
async function clearEarlierStop(
  link: Link,
  { stop, stopLoop }: ReplyOf<'state'>,
): Promise<StopReason | undefined> {
  const forgotten =
    stop !== 'none' && stopLoop === 'closed' ? (await link.request({ verb: 'clear' })).stop : undefined;
  return reasonOf(forgotten ?? stop);
}

const reasonOf = (stop: StopName = 'none'): StopReason | undefined =>
  stop === 'none' ? undefined : STOP_OF_BOARD[stop];

/** What `make` makes of a link to the rig that is meant, all outputs off. The port is closed when that fails. */
export async function openIdle<T>(
  { port, clock, onWaiting, busyPatienceS, rigId }: Omit<ConnectRigOptions, 'scan'>,
  make: (link: Link, board: BoardFacts) => T | Promise<T>,
): Promise<T> {
  const link = new Link({ port, clock, ...known({ onWaiting, busyPatienceS }) });
  const board = await link.open();
  try {
    checkRigId(port.path, board.hello.rigId, rigId);
    // A board that opening does not reset may still be streaming, bursting or stopped for an earlier program.
    await offFirst(link);
    await link.request({ verb: 'stream', stream: 'off' });
    await link.request({ verb: 'burst-end' });
    return await make(link, board);
  } catch (error) {
    await link.close();
    throw error;
  }
}

/** @throws LinkError `outputs-in-doubt` where the board refuses, or does not do what it confirms */
async function offFirst(link: Link): Promise<void> {
  const inDoubt = (said: string): LinkError => new LinkError('outputs-in-doubt', { path: link.path, said });
  await link.requestAtOnce({ verb: 'off' }).catch((error: unknown) => {
    throw error instanceof LinkError && error.code === 'refused' ? inDoubt(error.message) : error;
  });
  const { position, feed, mode } = await link.request({ verb: 'state' });
  if (position !== 'rest' || feed !== 'off' || mode === 'armed')
    throw inDoubt(`switched off, it says ${position}, feed ${feed}, ${mode}`);
}

/** A port may carry another rig today. Throws LinkError `other-rig`. */
export function checkRigId(path: string, rigId: string, wantedRigId: string | undefined): void {
  if (wantedRigId === undefined || wantedRigId === rigId) return;
  throw new LinkError('other-rig', { path, rigId, wantedRigId });
}
