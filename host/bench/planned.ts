// A step of the plan, and what a person is asked to do for one.

import type { Feed, Position } from '../capture/index.js';

export interface PlannedStep {
  position: Position;
  durationS: number;
  feed: Feed;
  /** What a person is asked to do before it, by the circuit style's own name for it. */
  ask?: string | undefined;
  /** The output is blocked while this throw meets the full feed. */
  heldRotor?: boolean | undefined;
  untilProtectorOpens?: boolean | undefined;
}

export type HandPromptCode =
  | 'throw'
  | 'nothing-seen'
  | 'other-way'
  | 'too-short'
  | 'hold'
  | 'let-go'
  | 'held-too-long'
  | 'go-on'
  /** Something to do with clips and supplies, outputs off; `ask` names it. */
  | 'ask'
  | 'done';

/** What the person is told; `done` takes the last prompt away. */
export interface HandPrompt {
  code: HandPromptCode;
  position: 'forward' | 'reverse';
  sentence: string;
  /** What the side to be thrown is called on this switch, where somebody says. */
  side?: string;
  /** Of an `ask`: the circuit style's own name for it. */
  ask?: string;
}
