// What is kept of a sitting at the bench, as callers give it and get it.

import type { ResolvedUnit, VirtualCase } from '../profile/index.js';
import type { Disposition } from './disposition.js';
import type { RunSummary } from './record.js';

/** One unit of a list, a single run, or a bench that takes what comes. */
export type SittingKind = 'run' | 'tray' | 'bench';

export interface BeginSitting {
  kind: SittingKind;
  title: string;
  port?: string;
  rigId?: string;
  operator?: string;
}

export interface SittingUnit {
  tag: string;
  /** The profile with all it refers to, as it was when the unit joined the list. */
  unit: ResolvedUnit;
  virtualCase?: VirtualCase;
}

/** Its `unit` as it was written, by whichever version of this program. */
export interface StoredSittingUnit extends SittingUnit {
  place: number;
  isSkipped: boolean;
  /** Oldest first: the attempts at this unit in this sitting. */
  runs: RunSummary[];
}

export interface StoredSitting extends BeginSitting {
  id: number;
  startedAt: string;
  units: StoredSittingUnit[];
}

export interface DispositionEntry {
  id: number;
  tag: string;
  runId: string;
  /** Absent on an entry that takes an earlier one back. */
  word?: Disposition;
  takesBack?: number;
  at: string;
  operator?: string;
  /** Why, where somebody said so. */
  reason?: string;
}

export interface Acknowledgement {
  what: 'cautions' | 'held-rotor';
  /** As they were read. */
  lines: readonly string[];
  at: string;
  tag?: string;
  rigId?: string;
  operator?: string;
}

/** Where a rig has answered. */
export interface RigPort {
  rigId: string;
  path: string;
  /** What the operating system tells of the port beside its path: numbers of maker, product and piece, or nothing. */
  usb: Readonly<Record<string, string>>;
}
