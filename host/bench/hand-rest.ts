// Whether a switch that a person throws stands where it stood before anybody was asked: told by leads, currents and coils, as its
// throws are. A motor that coasts out is not at rest yet.

import { sampleAt } from '../arrays/index.js';
import type { SampleBlock } from '../rig/index.js';
import { HAND_SIGNALS, type HandSignal, LEAST_MOVED } from './hand-watch.js';

/** Noise and brushes are quicker, a hand is slower. */
const FOLLOWS_S = 0.02;

export class HandRest {
  readonly #now = new Map<HandSignal, number>();
  #rest: ReadonlyMap<HandSignal, number> | undefined;
  #endS = Number.NaN;

  add({ timeS, channels }: Pick<SampleBlock, 'timeS' | 'channels'>): void {
    for (let i = 0; i < timeS.length; i++) {
      const stepS = Math.max(0, sampleAt(timeS, i) - this.#endS) || 0;
      this.#endS = sampleAt(timeS, i);
      const part = 1 - Math.exp(-stepS / FOLLOWS_S);
      for (const signal of HAND_SIGNALS) {
        const value = channels[signal]?.[i] ?? Number.NaN;
        if (Number.isNaN(value)) continue;
        const level = this.#now.get(signal);
        this.#now.set(signal, level === undefined ? value : level + part * (value - level));
      }
    }
  }

  /** The levels of this moment are those of rest; those of the first time count. */
  keep(): void {
    this.#rest ??= new Map(this.#now);
  }

  /** True also where nothing was kept: then nobody was asked to throw. */
  get isBack(): boolean {
    for (const [signal, level] of this.#rest ?? []) {
      if (Math.abs((this.#now.get(signal) ?? level) - level) > LEAST_MOVED[signal]) return false;
    }
    return true;
  }
}
