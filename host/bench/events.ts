// What happens in a run, as a typed event stream: screen, plain output and record consume the same one.

import type { Capture, Channel } from '../capture/index.js';
import type { Check, Finding, Judgement, Verdict } from '../judge/index.js';
import type { Disposition } from '../records/index.js';
import type { RigIdentity } from '../rig/index.js';
import type { HandPrompt, PlannedStep } from './planned.js';

/** Expected band of the circuit model on the run's own plan, for drawing behind the traces. */
export interface ExpectedBand {
  timeS: Float64Array;
  lower: Partial<Record<Channel, Float64Array>>;
  upper: Partial<Record<Channel, Float64Array>>;
}

/** A check as screens and lines tell it. */
export type ToldCheck = Pick<Check, 'id' | 'outcome' | 'sentence'>;

export type BenchEvent =
  | { kind: 'caution'; lines: string[] }
  /** Before a unit of another kind than the last: how it is clipped on. */
  | { kind: 'hook-up'; tag: string; lines: string[] }
  | { kind: 'rig-ready'; rig: RigIdentity }
  | { kind: 'tray-started'; units: { tag: string; profileTitle: string }[] }
  | {
      kind: 'unit-started';
      index: number;
      tag: string;
      profileId: string;
      profileTitle: string;
      circuitTitle: string;
      steps: PlannedStep[];
      /** From where on the board cuts its outputs by itself. */
      tripA?: number;
      /** From 1; more where the same unit is run again. */
      attempt?: number;
    }
  /** A unit joined the list while the bench was open. */
  | { kind: 'unit-added'; index: number; tag: string; profileTitle: string }
  | { kind: 'unit-skipped'; index: number; tag: string }
  /** What was told of a unit before the tray was broken off, from its record. */
  | {
      kind: 'unit-recorded';
      index: number;
      tag: string;
      circuitTitle: string;
      verdict: Verdict;
      sentence: string;
      aborted: boolean;
      checks: ToldCheck[];
      findings: Finding[];
      runId: string;
      attempt: number;
      disposition?: Disposition;
    }
  /** What a person decided of a unit; without a word, that the last one is taken back. */
  | { kind: 'disposed'; index: number; tag: string; runId: string; disposition?: Disposition }
  | { kind: 'expected'; band: ExpectedBand }
  | { kind: 'step-started'; index: number; step: PlannedStep; atS: number }
  /** What a person is asked to do with the unit's own switch; the readings tell when it was done. */
  | { kind: 'prompt'; prompt: HandPrompt }
  /** A slice of the live stream, decimated for eyes; the record keeps every sample. */
  | { kind: 'samples'; slice: Pick<Capture, 'timeS' | 'channels'> }
  /** The plan is over: outputs were put off, and the capture is judged while nothing is driven. */
  | { kind: 'outputs-off' }
  /** `run --circuit auto`: which circuits the run reads like, and which one it is judged as. */
  | { kind: 'circuit'; ids: string[]; likelihood: number; judgedAs: string; sentence: string }
  | { kind: 'stopped'; reason: string; advice: string }
  | { kind: 'trouble'; code: string; sentence: string; advice: string }
  | { kind: 'check'; check: Check }
  | { kind: 'stored'; runId: string }
  | { kind: 'judged'; index: number; tag: string; judgement: Judgement; runId: string; durationS: number }
  | { kind: 'unit-aborted'; index: number; tag: string; sentence: string; runId: string | undefined }
  | { kind: 'tray-finished'; passed: number; failed: number; cannotTell: number };
