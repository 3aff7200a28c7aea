// A rotor that does not turn, while a throw meets the full feed: what it draws heats motor, relay and fuse, and tells
// nothing more after a quarter of a second. A plan that holds the rotor on purpose is not watched.

import { sampleAt } from '../arrays/index.js';
import type { ResolvedUnit } from '../profile/index.js';
import type { SampleBlock } from '../rig/index.js';
import type { PlannedStep } from './planned.js';

/** Less is no held rotor that harms anything. */
const FLOWS_A = 1;
/**
 * From the contact on: a good start is over by then. Both ways together stay below the quick edge of a blade fuse at 1.4
 * times its rating (0.75 s at 1.35 times, 0.25 s at 1.6: Littelfuse 287 sheet after ISO 8820-3).
 */
const HELD_FOR_S = 0.25;
/** Of a motor that was held the other way. */
const HELD_AGAIN_FOR_S = 0.12;
/** Of the highest current of the throw; a bound gearbox that still turns draws less. */
const HELD_PART = 0.85;
/** Both are means over so long: noise and ripple are quicker. */
const MEAN_S = 0.02;

export class HeldRotorWatch {
  isOver = false;
  readonly #hasMotor: boolean;
  #wasHeld = false;
  #isWatching = false;
  #fromS: number | undefined;
  #highestA = 0;
  #sumA = 0;
  #count = 0;
  #endsS = 0;

  /** A known load in the motor's place draws the same from beginning to end: nothing is watched. */
  constructor({ load }: Pick<ResolvedUnit, 'load'>) {
    this.#hasMotor = load === undefined;
  }

  start({ position, feed, heldRotor }: PlannedStep): void {
    this.isOver = false;
    this.#isWatching = this.#hasMotor && position !== 'rest' && feed === 'full' && heldRotor !== true;
    this.#fromS = undefined;
    this.#highestA = this.#sumA = this.#count = 0;
  }

  add({ timeS, channels }: SampleBlock): void {
    const current = channels.motorCurrentA;
    if (!this.#isWatching || !current) return;
    for (let i = 0; i < timeS.length; i++) {
      const value = Math.abs(sampleAt(current, i));
      const nowS = sampleAt(timeS, i);
      if (Number.isNaN(value)) continue;
      if (this.#fromS === undefined) {
        if (value < FLOWS_A) continue;
        this.#fromS = nowS;
        this.#endsS = nowS + MEAN_S;
      }
      this.#sumA += value;
      this.#count++;
      if (nowS < this.#endsS) continue;
      const meanA = this.#sumA / this.#count;
      this.#highestA = Math.max(this.#highestA, meanA);
      // It turned: what stops it later is an end of travel, and worth seeing.
      if (meanA <= HELD_PART * this.#highestA) {
        this.#isWatching = false;
        return;
      }
      const longestS = this.#wasHeld ? HELD_AGAIN_FOR_S : HELD_FOR_S;
      this.isOver = nowS - this.#fromS >= longestS && meanA > FLOWS_A;
      this.#sumA = this.#count = 0;
      this.#endsS = nowS + MEAN_S;
      if (!this.isOver) continue;
      this.#wasHeld = true;
      return;
    }
  }
}
