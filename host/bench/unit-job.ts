// One unit to be run: on which rig, with what at hand.

import type { DoubtedChannel, ResolvedUnit, RigProfile, Turned } from '../profile/index.js';
import type { Store, Turn } from '../records/index.js';
import type { Rig } from '../rig/index.js';
import type { WayTools } from './ask-way.js';
import type { OfferTools } from './circuit-offer.js';
import type { Desk } from './desk.js';
import type { BenchEvent } from './events.js';
import type { HandPrompt } from './planned.js';

export interface Connection {
  rig: Rig;
  close(): Promise<void>;
  /** Of this very rig, by its calibration: what its readings, corrected already, are good to. */
  scales?: RigProfile['scales'];
  /** The same of its finer inputs. */
  fineScales?: RigProfile['fineScales'];
  /** Why its numbers are in doubt today; told before the run and kept with it. */
  doubt?: readonly DoubtedChannel[];
  /** A real rig that nobody calibrated yet. */
  neverCalibrated?: true;
  /** Says to the person at a virtual bench what the screen says to a real one. */
  hear?(prompt: HandPrompt): void;
  /** On a virtual bench: which way the motor went in the forward throws so far. */
  turned?(): Turned | undefined;
}

export interface UnitJob {
  index: number;
  tag: string;
  unit: ResolvedUnit;
  /** Which unit of which sitting it is an attempt at. */
  turn?: Turn;
  operator?: string;
  /** From 1. */
  attempt?: number;
  /** `onWaiting` is told once when the rig keeps us waiting, a busy port for one. */
  connect(onWaiting: (error: Error) => void): Promise<Connection>;
}

/** What a run asks of the store. */
export type RunStore = Pick<
  Store,
  'beginRun' | 'appendSamples' | 'finishRun' | 'abortRun' | 'listRuns' | 'showRun'
> &
  Partial<Pick<Store, 'file'>>;

export interface RunTools extends OfferTools, WayTools {
  store: RunStore;
  desk: Desk;
  /** Wall clock for the record. */
  now(): Date;
  /** Resolves when the person has done what the prompt asks; absent where there is nobody to ask. */
  confirm?(prompt: HandPrompt): Promise<void>;
}

export type Emit = (event: BenchEvent) => void;
