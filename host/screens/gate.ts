// What holds the bench back, and which keys let it go on from there.

import type { After, Before, Ended } from '../bench/index.js';
import type { Verdict } from '../judge/index.js';
import type { Disposition } from '../records/index.js';
import type { BenchView } from './bench-view-model.js';
import type { KeyAction } from './keys.js';

export interface Gate {
  kind: 'cautions' | 'held-rotor' | 'clip-on' | 'dwell' | 'after';
  /** The unit that starts when the gate opens; of `after`, the one that has ended. */
  tag: string;
  /** Seconds until it opens by itself; absent where a key is waited for. */
  remainingS?: number;
  /** From 1; of the start that is waited for. */
  attempt?: number;
  /** Of `after` and `dwell`: what has ended. */
  ended?: Ended;
  /** Another profile may be named from here. */
  canChange?: boolean;
  /** Outputs off was asked for while nothing ran. */
  isOffSent?: boolean;
}

/** By the key that gives it. */
export type Answers<T> = Partial<Record<KeyAction, T>>;

/** What Enter decides after a verdict. */
export function proposed(verdict: Verdict): Disposition {
  if (verdict === 'pass') return 'accept';
  return verdict === 'fail' ? 'rework' : 'hold';
}

export const BEFORE_ANSWERS: Answers<Before> = { 'go-on': 'go', skip: 'skip', quit: 'end', undo: 'back' };

/** The last decision may be taken back. */
export const canUndo = ({ units, current }: BenchView): boolean => units[current]?.disposition !== undefined;

/** The unit on the bench where it was judged, recorded, and left with causes that a meter can tell apart. */
export function probedNow({ units, current }: BenchView): { runId: string; tag: string } | undefined {
  const unit = units[current];
  if (unit?.runId === undefined || unit.state !== 'told' || unit.aborted) return undefined;
  return unit.verdict !== 'pass' && unit.findings.length > 0
    ? { runId: unit.runId, tag: unit.tag }
    : undefined;
}

const decided = (disposition: Disposition): After => ({ goOn: 'next', disposition });

/** A judged unit is decided on, or run again on a bench that was put right; one that was stopped, or met trouble, is run again, skipped, or the end. */
export function afterAnswers({ isJudged, verdict, isBenchInQuestion }: Ended): Answers<After> {
  const always: Answers<After> = { again: { goOn: 'again' }, quit: { goOn: 'end' } };
  if (!isJudged) return { ...always, 'go-on': { goOn: 'again' }, skip: { goOn: 'skip' } };
  return {
    ...always,
    'go-on': isBenchInQuestion ? { goOn: 'again' } : decided(proposed(verdict)),
    skip: { goOn: 'next' },
    accept: decided('accept'),
    rework: decided('rework'),
    reject: decided('reject'),
    'set-aside': decided('hold'),
  };
}

/** What a unit is left with when the next one is scanned: as proposed, and set aside where it would have been run again. */
export function leftWith({ ended }: Gate): KeyAction {
  if (!ended?.isJudged) return 'skip';
  return ended.isBenchInQuestion ? 'set-aside' : 'go-on';
}
