// A time function as the solver needs it: one straight piece at a time, prolonged beyond its corner, so that a step
// that looks past a corner can be cut back to it.

import { itemAt } from '../../arrays/index.js';
import type { Waveform } from './kind.js';

export class WaveformWalker {
  #index = 0;
  #value: number;
  #slope = 0;
  #startS = 0;

  constructor(readonly points: Waveform) {
    this.#value = itemAt(points, 0)[1];
    this.#take();
  }
  get nextTimeS(): number {
    return this.points[this.#index]?.[0] ?? Number.POSITIVE_INFINITY;
  }
  at(timeS: number): number {
    return this.#value + this.#slope * (timeS - this.#startS);
  }
  /** Moves past every corner up to `timeS`. */
  passTo(timeS: number): void {
    while (this.nextTimeS <= timeS) {
      this.#index++;
      this.#take();
    }
  }
  #take(): void {
    const before = this.points[this.#index - 1];
    const after = this.points[this.#index];
    if (!before) return;
    this.#value = before[1];
    this.#startS = before[0];
    this.#slope = after && after[0] > before[0] ? (after[1] - before[1]) / (after[0] - before[0]) : 0;
  }
}
