// The gate that the bench waits at: opened by one of its answers, by itself after a while, or left.

import type { Clock, Timer } from '../link/index.js';
import type { Answers, Gate } from './gate.js';
import type { KeyAction } from './keys.js';
import type { StateHolder } from './screen-state.js';

const STEP_S = 0.5;

export class GateKeeper {
  #answer: ((action: KeyAction) => boolean) | undefined;
  #tick: Timer | undefined;

  constructor(
    readonly screen: StateHolder,
    readonly clock: Clock,
  ) {}

  /** Something waits for an answer. */
  get stands(): boolean {
    return this.#answer !== undefined;
  }

  /**
   * @param left what leaving answers
   * @param onKey called where a key has opened it, and not the time
   */
  wait<T>(gate: Gate, answers: Answers<T>, left: T, onKey?: () => void): Promise<T> {
    // Nothing goes on by itself behind an open room.
    const { remainingS, ...held } = gate;
    const isTimed = remainingS !== undefined && this.screen.state.rooms === undefined;
    this.screen.set({ gate: isTimed ? gate : held });
    return new Promise((resolve) => {
      const open = (answer: T): void => {
        this.#answer = undefined;
        this.#tick?.cancel();
        this.screen.set({ gate: undefined, notice: undefined });
        resolve(answer);
      };
      this.#answer = (action) => {
        if (action === 'leave') {
          open(left);
          return true;
        }
        const answer = answers[action];
        if (answer === undefined) return false;
        onKey?.();
        open(answer);
        return true;
      };
      const byItself = answers['go-on'];
      if (isTimed && byItself !== undefined) this.#countDown(() => open(byItself));
    });
  }

  /** Whether the key was an answer. */
  answer(action: KeyAction): boolean {
    return this.#answer?.(action) ?? false;
  }

  /** Nothing goes on by itself any more from here. */
  hold(change: Pick<Gate, 'isOffSent'> = {}): void {
    this.#tick?.cancel();
    const { gate } = this.screen.state;
    if (gate === undefined) return;
    const { remainingS: _, ...held } = gate;
    this.screen.set({ gate: { ...held, ...change } });
  }

  /** Counts no further. */
  dispose(): void {
    this.#tick?.cancel();
  }

  #countDown(open: () => void): void {
    this.#tick = this.clock.after(STEP_S, () => {
      const { gate } = this.screen.state;
      if (gate?.remainingS === undefined) return;
      const remainingS = gate.remainingS - STEP_S;
      if (remainingS <= 0) {
        open();
        return;
      }
      this.screen.set({ gate: { ...gate, remainingS } });
      this.#countDown(open);
    });
  }
}
