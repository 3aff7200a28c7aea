// A shorted coil feed, seen while a throw is on: the throw ends within a twentieth of a second, before the coil's fuse does.

import { sampleAt } from '../arrays/index.js';
import { COIL_SHORT_A } from '../measure/index.js';
import type { SampleBlock } from '../rig/index.js';
import type { PlannedStep } from './planned.js';

/** A quick 2 A fuse bears 5 A for a tenth of a second and more (common data sheet figure). */
const SHORT_FOR_S = 0.03;

export class CoilWatch {
  isOver = false;
  #isWatching = false;
  #fromS: number | undefined;

  start({ position, feed }: PlannedStep): void {
    this.isOver = false;
    this.#fromS = undefined;
    // A relay by itself, on its own test current, has the feed off.
    this.#isWatching = position !== 'rest' && feed !== 'off';
  }

  add({ timeS, channels }: SampleBlock): void {
    const current = channels.coilCurrentA;
    if (!this.#isWatching || !current) return;
    for (let i = 0; i < timeS.length; i++) {
      const valueA = sampleAt(current, i);
      if (Number.isNaN(valueA)) continue;
      const nowS = sampleAt(timeS, i);
      if (valueA < COIL_SHORT_A) this.#fromS = undefined;
      else {
        this.#fromS ??= nowS;
        if (nowS - this.#fromS >= SHORT_FOR_S) this.isOver = true;
      }
    }
  }
}
