// A step of the plan, and what a person is asked to do for one.

import type { Plan } from '../profile/index.js';

export type PlannedStep = Plan['steps'][number];

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
  /** Which way the output went; `choices` are the answers. */
  | 'way'
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
  /** Of a `way`: the answers, in the order of their keys from 1. */
  choices?: readonly string[];
}
