// After the throws, outputs off: which way the output went when it was thrown forward. A person is asked; a virtual bench
// that nobody attends answers from what really turned on it.

import { type ResolvedUnit, showsItsWay, type Turned, type WaySeen, wayChoices } from '../profile/index.js';
import type { BenchEvent } from './events.js';
import type { HandPrompt } from './planned.js';

/** A person who answers does so within this; then the virtual bench does. */
export const BY_ITSELF_S = 8;

export interface WayQuestion {
  /** The words of each answer, in the order of its key from 1. */
  choices: readonly string[];
  /** After so long without an answer the bench answers by itself, s; absent where it cannot. */
  byItselfS?: number;
}

export interface WayTools {
  /** Whether it is wanted at all. */
  wantsWay?: boolean;
  /** Place in the choices; undefined where no answer came. Absent where nobody can be asked. */
  whichWay?(question: WayQuestion): Promise<number | 'by-itself' | undefined>;
  signal: AbortSignal;
}

const FROM_TURNED = { 'right-way': 0, 'other-way': 1, still: 2 } as const;

/** @param turned what really turned, where the bench knows it */
export async function askedWay(
  unit: ResolvedUnit,
  turned: Turned | undefined,
  { wantsWay, whichWay, signal }: WayTools,
  emit: (event: BenchEvent) => void,
): Promise<WaySeen | undefined> {
  if (!wantsWay || !showsItsWay(unit) || signal.aborted) return undefined;
  const choices = wayChoices(unit);
  const seen = (place: number | undefined, by: WaySeen['by']): WaySeen | undefined => {
    const choice = place === undefined ? undefined : choices[place];
    return choice && { moved: choice.moved, by };
  };
  const really = turned && seen(FROM_TURNED[turned], 'virtual-bench');
  if (whichWay === undefined) return really;
  const words = choices.map((choice) => choice.words);
  const byItself = really ? ` The virtual bench answers by itself after ${BY_ITSELF_S} s.` : '';
  const prompt: HandPrompt = {
    ...{ code: 'way', position: 'forward', choices: words },
    sentence: `Which way did it go when it was thrown forward? ${keyWords(words)}.${byItself}`,
  };
  emit({ kind: 'prompt', prompt });
  const answer = await whichWay({ choices: words, ...(really ? { byItselfS: BY_ITSELF_S } : {}) });
  emit({ kind: 'prompt', prompt: { ...prompt, code: 'done', sentence: '' } });
  return answer === 'by-itself' ? really : seen(answer, 'person');
}

/** `1: up, 2: down, 3: did not move, 4: not seen`. */
export const keyWords = (choices: readonly string[], joint = ', '): string =>
  choices.map((words, i) => `${i + 1}: ${words}`).join(joint);
