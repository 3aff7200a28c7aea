// What a drive is told and asked, and what comes of it.

import type { Capture } from '../capture/index.js';
import type { LimitedReading } from '../measure/index.js';
import type { RigProfile } from '../profile/index.js';
import type { SampleBlock } from '../rig/index.js';
import type { HandOptions } from './by-hand.js';
import type { Halt } from './halt-watch.js';
import type { PlannedStep } from './planned.js';
import type { RigFault } from './rig-fault.js';

/** What the limited feed showed that keeps the full one off, besides a short. */
export interface KeptOff {
  reason: 'fed-at-rest' | 'coil-short';
  sentence: string;
}

export interface DriveResult {
  capture: Capture;
  /** Absent when the plan ran to its end. */
  halt?: Halt;
  /** Why the rest of the plan was left out, when neither the board nor a short ended it. */
  leftOut?: string;
  /** The limited feed found a short: the steps with the full feed were left out. */
  short?: { reading: LimitedReading; atS: number };
  /** Something was driven or fed at rest: the full feed was kept off, or switched off when it came about under it. */
  fed?: KeptOff & { atS: number };
}

export interface DriveOptions {
  trip: RigProfile['trip'];
  signal: AbortSignal;
  onStep(index: number, step: PlannedStep, atS: number): void;
  onSamples(block: SampleBlock): void;
  /** The unit's own switch is thrown by a person, who is asked; the rig only feeds. */
  byHand?: HandOptions;
  /** A step waits for a person: outputs are off until it resolves; false leaves out the rest of the plan. */
  ask?(id: string): Promise<boolean>;
  /** A step may end before its time. */
  isOver?(step: PlannedStep): boolean;
  /** Asked before each throw and each full feed; a sentence why not leaves out the rest of the plan. */
  mayNotFollow?(next: PlannedStep, soFar: Capture): string | undefined;
  /** Asked first before the full feed follows on limited steps: a current that is misread ends the run there. */
  findMisreadCurrent?(soFar: Capture): RigFault | undefined;
  /** Asked before the full feed follows on limited steps; a short keeps the full feed off for the rest of the plan. */
  findShort?(soFar: Capture): LimitedReading | undefined;
  /** Asked with it; what is driven at rest already, or a shorted coil feed, keeps the full feed off likewise. */
  findFed?(soFar: Capture): KeptOff | undefined;
  /** Asked with them; a sentence that the limited feed could not be read leaves out the rest of the plan. */
  findUnread?(soFar: Capture): string | undefined;
  /** Asked with everything off, before anything is armed: a channel that reads what no unit can cause ends the run there. */
  findMisread?(off: Capture): RigFault | undefined;
  /** Made first, the relay coils fed through their limiter, where the rig has one; its samples are the run's only if it ends it. */
  coilStage?: readonly PlannedStep[];
  /** Asked at its end; a shorted coil feed ends the run there. */
  findCoilShort?(stage: Capture): KeptOff | undefined;
  /** Asked before the full feed, where the stage was made: which way the rig's own switch past the limiter is stuck. */
  findCoilSwitch?(stage: Capture, soFar: Capture): 'bridged' | 'stuck-limited' | undefined;
  /** Asked with it: whether relays close although the rig sees no coil current. */
  isCoilUnread?(soFar: Capture): boolean;
  /** Asked where the rig's own sense says that no feed came on: what leads and currents say. */
  feedSeen?(soFar: Capture): 'loaded' | 'came' | 'nothing';
  /** Asked all the time; a sentence that something is driven at rest puts everything off and ends the plan. */
  isFedOn?(): string | undefined;
}
