// At rest with the full feed: whether the motor goes on being driven. A contact that has welded in the throw before holds it
// at its stall current for as long as the feed is on, and no throw is there whose end would end it.

import { sampleAt } from '../arrays/index.js';
import type { SampleBlock } from '../rig/index.js';
import type { PlannedStep } from './planned.js';

/** Less harms nothing in the time of a rest. */
const DRIVEN_A = 1;
/** A braking motor's current, which flows the other way, is over by then, and so is a bounce of the contacts. */
const DRIVEN_FOR_S = 0.25;
/** Means over so long: noise and ripple are quicker. */
const MEAN_S = 0.02;

export class RestWatch {
  /** Signed current that goes on flowing; undefined while none does. */
  drivenA: number | undefined;
  #isWatching = false;
  /** Sign of the throw that a rest follows; 0 before the first, where any current is too much. */
  #sign = 0;
  #fromS: number | undefined;
  #sumA = 0;
  #count = 0;
  #endsS = 0;

  start({ position, feed }: PlannedStep): void {
    if (position !== 'rest') this.#sign = position === 'forward' ? 1 : -1;
    this.#isWatching = position === 'rest' && feed === 'full';
    this.#forget();
  }

  add({ timeS, channels }: SampleBlock): void {
    const current = channels.motorCurrentA;
    if (!this.#isWatching || !current) return;
    for (let i = 0; i < timeS.length; i++) {
      const valueA = sampleAt(current, i);
      const nowS = sampleAt(timeS, i);
      if (Number.isNaN(valueA)) continue;
      if (this.#count === 0) this.#endsS = nowS + MEAN_S;
      this.#sumA += valueA;
      this.#count++;
      if (nowS < this.#endsS) continue;
      const meanA = this.#sumA / this.#count;
      this.#sumA = this.#count = 0;
      if (!this.#isDriven(meanA)) {
        this.#fromS = undefined;
        continue;
      }
      this.#fromS ??= nowS - MEAN_S;
      if (nowS - this.#fromS >= DRIVEN_FOR_S) this.drivenA = meanA;
    }
  }

  /** A motor that turns on one way and is driven the other way at once brakes: only the throw's own sign is a drive. */
  #isDriven(meanA: number): boolean {
    return this.#sign === 0 ? Math.abs(meanA) > DRIVEN_A : meanA * this.#sign > DRIVEN_A;
  }

  #forget(): void {
    this.#fromS = undefined;
    this.#sumA = this.#count = 0;
  }
}
