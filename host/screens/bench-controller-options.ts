// What the bench screen is given: how to stop and leave, which questions there are answers to, and what may go by itself.

import type { Clock } from '../link/index.js';
import type { RoomContent } from './room.js';

export interface BenchControllerOptions {
  /** Sends outputs off and ends the attempt in hand; may be called any number of times. */
  stop(): void;
  /** No further unit is started; `stop` was called before. */
  leave?(): void;
  clock: Clock;
  /** False where a person changes units: every start then waits for Enter. */
  startsByItself: boolean;
  /** False where the cautions of this shift were acknowledged. */
  cautionsDue?: boolean;
  /** A person has read what stood there, and said so. */
  onRead?(what: 'cautions' | 'held-rotor', tag: string): void;
  /** A tag was scanned at a gate: true where the bench goes on to that unit. */
  onScan?(tag: string): boolean;
  /** The unit at the gate is of another profile than was thought. */
  onOtherProfile?(tag: string): void;
  where?: string;
  /** What stands in the rooms beside the bench, fetched when the first is entered. */
  rooms?(): Promise<RoomContent>;
  /** The talk that looks for the cause of a run with a meter. */
  probe?(run: { runId: string; tag: string }): Promise<RoomContent>;
  /** The tray goes on from before: nothing starts by itself in it. */
  isResumed?: boolean;
  /** Nothing real is thrown: the cautions go by themselves, unread, as where the bench starts by itself. */
  isVirtual?(): boolean;
}
