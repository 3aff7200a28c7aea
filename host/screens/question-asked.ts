// The question that stands while outputs are off: what is typed or chosen, and the reply.

import { canUndo } from './gate.js';
import type { KeyAction } from './keys.js';
import { moved } from './moved.js';
import type { ChoiceQuestion, Question, TextQuestion } from './question.js';
import type { StateHolder } from './screen-state.js';

/** `undo` takes the last decision back; `back` goes to what was asked before. */
type Reply = string | number | 'undo' | 'back' | undefined;

/** What is typed is kept up to here, so that an answer that is too long is refused and not cut. */
const MOST_KEPT = 1000;

export class QuestionAsked {
  #reply: ((reply: Reply) => void) | undefined;

  constructor(readonly screen: StateHolder) {}

  /** @param T what can be replied; undefined where the person leaves */
  ask<T extends Reply>(question: Question): Promise<T | undefined> {
    this.screen.set({ question, gate: undefined, page: 'bench' });
    return new Promise((resolve) => {
      this.#reply = (reply) => {
        this.#reply = undefined;
        this.screen.set({ question: undefined, notice: undefined });
        resolve(reply as T | undefined);
      };
    });
  }

  leave(): void {
    this.#reply?.(undefined);
  }

  /** Whether the question that stands has one before it. */
  back(): boolean {
    const { question } = this.screen.state;
    if (question?.kind !== 'choice' || question.canGoBack !== true || !this.#reply) return false;
    this.#reply('back');
    return true;
  }

  type(character: string): void {
    const { question } = this.screen.state;
    if (question?.kind !== 'text' || question.typed.length >= MOST_KEPT) return;
    this.screen.set({ question: { ...question, typed: question.typed + character } });
  }

  /** The last character of a text; of a list the way back. */
  erase(): void {
    const { question } = this.screen.state;
    if (question?.kind === 'text')
      this.screen.set({ question: { ...question, typed: question.typed.slice(0, -1) } });
    else this.back();
  }

  /** @param leave called where the person wants to go */
  press(action: KeyAction, leave: () => void): void {
    const { question } = this.screen.state;
    if (question?.kind === 'text') this.#pressAtText(question, action);
    else if (question?.kind === 'choice') this.#pressAtChoice(question, action, leave);
  }

  #pressAtText(question: TextQuestion, action: KeyAction): void {
    const { longest, typed, label, proposal = '' } = question;
    const text = typed.trim() || proposal;
    if (action === 'undo' && canUndo(this.screen.state.bench)) this.#reply?.('undo');
    if (action !== 'go-on' || text === '') return;
    if (text.length <= longest) {
      this.#reply?.(text);
      return;
    }
    // Cut off it would be another one, and what is recorded under it another's.
    const trouble = `${label}: ${longest} characters at the most, and this has ${text.length}. Type or scan it anew.`;
    this.screen.set({ question: { ...question, typed: '', trouble } });
  }

  #pressAtChoice(question: ChoiceQuestion, action: KeyAction, leave: () => void): void {
    if (action === 'go-on') this.#reply?.(question.chosen);
    else if (action === 'quit') leave();
    else {
      const chosen = moved(question.chosen, action, question.options.length - 1);
      this.screen.set({ question: { ...question, chosen } });
    }
  }
}
