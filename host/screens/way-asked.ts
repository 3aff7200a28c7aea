// The question which way the output went, while it stands: one key answers it, and it may answer itself after a while.

import type { WayQuestion } from '../bench/index.js';
import type { Clock } from '../link/index.js';
import type { KeyAction } from './keys.js';

/** Place in the choices; undefined for no answer. */
export type WayAnswer = number | 'by-itself' | undefined;

/** Of an answer, by its key. */
const PLACES: readonly KeyAction[] = ['first', 'second', 'third', 'fourth'];

export class WayAsked {
  #answer: ((answer: WayAnswer) => void) | undefined;

  constructor(readonly clock: Clock) {}

  get stands(): boolean {
    return this.#answer !== undefined;
  }

  ask({ choices, byItselfS }: WayQuestion): Promise<WayAnswer> {
    return new Promise((resolve) => {
      const byItself =
        byItselfS === undefined ? undefined : this.clock.after(byItselfS, () => this.answer('by-itself'));
      this.#answer = (answer) => {
        if (typeof answer === 'number' && answer >= choices.length) return;
        this.#answer = undefined;
        byItself?.cancel();
        resolve(answer);
      };
    });
  }

  answer(answer: WayAnswer): void {
    this.#answer?.(answer);
  }

  /** @param isOwnPress of Enter: no key that is still held down, and no pedal that bounces. */
  press(action: KeyAction, isOwnPress: boolean): void {
    const place = PLACES.indexOf(action);
    if (place >= 0) this.answer(place);
    else if (action === 'go-on' && isOwnPress) this.answer(undefined);
  }
}
