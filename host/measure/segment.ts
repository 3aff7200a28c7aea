// A stretch of the run as the waveform shows it: what was commanded, when the contact followed, how it ended.

import type { Channel } from '../capture/index.js';
import type { Dropout } from './dropouts.js';
import type { LoadStep } from './load-step.js';
import type { RunStretch } from './run-stretch.js';
import type { SupplyMove } from './supply-moves.js';

/**
 * First behaviour after release. `still`: neither back-EMF nor brake current, the shaft was not turning.
 * `driven`: the motor went on being fed.
 */
export type ReleaseClass = 'coast' | 'brake-ground' | 'brake-high' | 'still' | 'driven';

export interface Segment {
  /** Driven through the limited feed, only its levels were read. */
  of: RunStretch;
  /** Commanded stretch. */
  fromS: number;
  toS: number;
  /** When something followed the command: contact closing, or its opening after a throw. */
  contactS?: number;
  breakS?: number;
  /** Last bounce after first contact. */
  bounceEndS?: number;
  /** Stretch that the running levels came from. */
  levelsFromS?: number;
  levelsToS?: number;
  /** The record begins, or goes on behind a gap, with the throw already made: what its start was is not in it. */
  startUnseen?: true;
  /** Thrown while the opposite throw's shaft still turned: its start is higher than one from rest. */
  startsTurning?: true;
  /** Began at a place of the travel that nobody knows: how long it takes to the limit ahead is open. */
  startsAnywhere?: true;
  /** The opposite throw followed before its release could show. */
  reversedAtOnce?: true;
  /** Too short for a running level: cut off by a stop. */
  brief: boolean;
  /** Part of the samples of each channel that was lost in the stretch, 0 to 1, where not 0. */
  lost: Partial<Record<Channel, number>>;
  dropouts: Dropout[];
  /** Where the load of the motor changed for good; absent where it did not. */
  loadStep?: Omit<LoadStep, 'at'> & { atS: number };
  /** Where the supply moved by itself; absent where it held. */
  supplyMoves?: Pick<SupplyMove, 'fromS' | 'toS' | 'extremeV' | 'usualV' | 'isUnseen'>[];
  /** The running current swings in step with the mains more than with anything else; absent where it does not. */
  mains?: { frequencyHz: number; amplitudeA: number };
  /** Of a throw: what came after it. Absent when it could not be seen. */
  release?: ReleaseClass;
}
