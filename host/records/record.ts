// What is given to the store of a run, and what comes back from it.

import type { Capture } from '../capture/index.js';
import type { Verdict } from '../judge/index.js';
import type { LearnedFile, ResolvedUnit } from '../profile/index.js';
import type { RigIdentity } from '../rig/index.js';
import type { Disposition } from './disposition.js';
import type { JudgementRecord } from './judgement-record.js';

/** Which unit of which sitting a run is an attempt at. */
export interface Turn {
  sittingId: number;
  /** From 0. */
  place: number;
}

export interface BeginRun {
  tag: string;
  unit: ResolvedUnit;
  rig: RigIdentity;
  /** Wall clock, ISO 8601. */
  startedAt: string;
  /** Absent outside a sitting. */
  turn?: Turn;
  /** Who is at the bench, where somebody says so. */
  operator?: string;
}

export interface CloseRun {
  counters?: Record<string, number>;
  /** Lines of the link as they went over the wire, oldest first. */
  rawLines?: readonly string[];
  /** Wall clock, ISO 8601; now when absent. */
  endedAt?: string;
}

export interface FinishRun extends CloseRun {
  /** Absent where nothing was sampled: a person measured by hand. */
  capture?: Capture;
  judgement: JudgementRecord;
  /** What it was judged as, where that is not what the run began with. */
  unit?: ResolvedUnit;
  /** Why the board stopped before the plan's end, and at which board time. */
  stop?: { reason: string; atS: number };
}

export interface AbortRun extends CloseRun {
  /** One sentence. */
  reason: string;
  /** Without one, the capture is what was appended so far. */
  capture?: Capture | undefined;
}

export type RunStatus = 'running' | 'finished' | 'aborted';

/** A line of the list of runs. */
export interface RunSummary {
  runId: string;
  tag: string;
  profileId: string;
  profileTitle: string;
  /** Id of the rig that took it. */
  rigId?: string;
  startedAt: string;
  endedAt?: string;
  status: RunStatus;
  /** Absent while the run is going on; an aborted run is `cannot-tell`. */
  verdict?: Verdict;
  /** Reason of the verdict, or of the abort. */
  sentence?: string;
  /** Of how many-th attempt at the same unit in one sitting; absent in older records. */
  attempt?: number;
  operator?: string;
  /** Time zone of the bench, such as Europe/Vienna, and its clock ahead of UTC, min; absent in older records. */
  zone?: string;
  utcOffsetMin?: number;
  /** Job that the unit is listed in. */
  job?: string;
  /** Why the numbers of this run are in doubt, when a known-load check after it failed. */
  doubt?: string;
}

/** Everything kept of a run but its samples and raw lines. */
export interface RunRecord extends RunSummary {
  /** The profile with all it referred to, as it was on that day. */
  unit: ResolvedUnit;
  rig: RigIdentity;
  toolVersion: string;
  judgement?: JudgementRecord;
  /** What a person decided, where it was not taken back. Not part of the hashed record: it comes later. */
  disposition?: Disposition;
  /** Who decided it, and why, where that is told. */
  decidedBy?: string;
  decidedReason?: string;
  stop?: { reason: string; atS: number };
  counters: Record<string, number>;
  /** Samples of the stored capture; 0 when there is none. */
  samples: number;
  /** Where the samples went, where they were taken out of the store. */
  samplesRemoved?: SamplesRemoved;
  /** Which limits of known good units it was judged by; absent where it was judged without. */
  learnedFrom?: LearnedFrom;
  /** Hash of the record in the chain; absent while the run is going on. */
  hash?: string;
}

export interface LearnedFrom {
  /** Good units that taught them. */
  units: number;
  /** Name and SHA-256 of their file; absent in older records. */
  file?: LearnedFile;
  /** Entry of the record that tells of the writing of that file; absent where there is none. */
  entry?: LearnedEntry;
}

export interface LearnedEntry {
  /** Of the entry in the chain. */
  hash: string;
  /** Wall clock, ISO 8601. */
  at: string;
  operator?: string;
}

/** The likeliest of what a run found. */
export interface FirstCause {
  id: string;
  sentence: string;
}

export interface SamplesRemoved {
  /** Wall clock, ISO 8601. */
  at: string;
  samples: number;
  /** Name of the file that has them. */
  archive: string;
}
