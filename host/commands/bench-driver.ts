// What a sitting asks for, and the bench that answers it: the border between a screen or lines and what drives a rig.

import type {
  After,
  Before,
  BenchEvent,
  Ended,
  OfferTools,
  TrayUnit,
  Upcoming,
  WayQuestion,
} from '../bench/index.js';
import type { MotorProfile, ResolvedUnit, VirtualCase } from '../profile/index.js';
import type { SittingKind } from '../records/index.js';
import type { Settings } from './settings.js';

export interface SessionUnit {
  tag: string;
  unit: ResolvedUnit;
  /** What the virtual bench has on it; absent on a real rig. */
  virtualCase?: VirtualCase;
  /** The motor on the virtual bench, where it is judged as another one. */
  trueMotor?: MotorProfile;
  /** What was told of it before the tray was broken off. */
  before?: TrayUnit['before'];
}

export interface SessionRequest {
  units: SessionUnit[];
  kind: SittingKind;
  /** What the list is called in the record. */
  title: string;
  /** The sitting that goes on; a new one when absent. */
  sittingId?: number;
  settings?: Settings;
  /** Path of a real rig's port; the virtual bench when absent. */
  port?: string;
  /** The rig that must be on that port; any when absent. */
  rigId?: string;
  /** Tells which circuit a run reads like; without it nobody is asked. */
  readCircuit?: OfferTools['readCircuit'];
}

/** What a tray asks of the person at the bench. */
export interface TrayControl {
  /** An abort puts outputs off at once, ends the unit in hand and starts no further one. */
  signal: AbortSignal;
  /** Of one attempt alone. */
  attemptSignal?(): AbortSignal;
  beforeUnit?(next: Upcoming): Promise<Before>;
  afterUnit?(ended: Ended): Promise<After>;
  /** The next unit, where there is no list. */
  more?(): Promise<SessionUnit | 'back' | undefined>;
  /** Resolves when the person has done what a prompt asks; absent where there is nobody to ask. */
  confirm?(): Promise<void>;
  /** Resolves to whether the person says yes to a prompt; absent where there is nobody to ask. */
  choose?(): Promise<boolean>;
  /** Resolves to the place of the answer, `by-itself` where none came in time; absent where there is nobody to ask. */
  whichWay?(question: WayQuestion): Promise<number | 'by-itself' | undefined>;
}

/** A bench ready to run: everything that the user could have got wrong has been looked at. */
export interface BenchDriver {
  runTray(control: TrayControl): AsyncIterable<BenchEvent>;
  /** Whether the cautions of this shift still have to be read, and where it is kept that they were. */
  cautions?: { areDue(): boolean; onRead(what: 'cautions' | 'held-rotor', tag: string): void };
  close(): Promise<void>;
}

/** Throws before anything is shown when the port is wrong. `paced` keeps the virtual bench to the wall clock. */
export type OpenBench = (
  request: SessionRequest,
  how: { paced: boolean; cwd: string },
) => Promise<BenchDriver>;
