// Opens a port, and tries again while another program holds it: with growing pauses, for a bounded time, and no longer
// than it is wanted. Every try is a fresh port object.

import { BOARD } from '../../firmware-protocol/index.js';
import type { Clock } from './clock.js';
import { LinePort, type LinePortEvents, type PortChoice } from './line-port.js';
import { LinkError } from './link-error.js';
import { holderOf } from './port-holder.js';

export interface PatientOpening {
  port: PortChoice;
  clock: Clock;
  events: LinePortEvents;
  /** False once the opening was called off. */
  isWanted(): boolean;
  onAttempt(): void;
  onFailure(error: LinkError): void;
  /** How long a port held by another program is tried again; a new port is probed for about 10 s on some Linuxes. */
  busyPatienceS?: number;
  /** Told once when a busy port makes the opening wait. */
  onWaiting?: (error: LinkError) => void;
}

const BUSY_PATIENCE_S = 10;
const FIRST_BACK_OFF_S = 0.25;
const LONGEST_BACK_OFF_S = 2;

/** Rejects with a LinkError; nothing is open then. */
export async function openPatiently(opening: PatientOpening): Promise<LinePort> {
  const { port, clock, events, busyPatienceS = BUSY_PATIENCE_S } = opening;
  const startS = clock.nowS();
  for (let backOffS = FIRST_BACK_OFF_S; ; backOffS = Math.min(2 * backOffS, LONGEST_BACK_OFF_S)) {
    opening.onAttempt();
    try {
      const settings = { baudRate: BOARD.baud, longestLine: BOARD.boardLineMaxBytes };
      return await LinePort.open(port, clock, settings, events);
    } catch (error) {
      if (!(error instanceof LinkError)) throw error;
      const told = withHolder(error);
      opening.onFailure(told);
      const isInTime = clock.nowS() - startS + backOffS <= busyPatienceS;
      if (error.family !== 'retry' || !opening.isWanted() || !isInTime) throw told;
      if (backOffS === FIRST_BACK_OFF_S) opening.onWaiting?.(told);
      await clock.sleep(backOffS);
      if (!opening.isWanted()) throw new LinkError('cancelled', { path: port.path });
    }
  }
}

/** By name, where the system tells who it is. */
function withHolder(error: LinkError): LinkError {
  const { path } = error.details;
  if (error.code !== 'port-busy' || path === undefined) return error;
  const holder = holderOf(path);
  return holder === undefined ? error : new LinkError('port-busy', { ...error.details, holder }, error.cause);
}
