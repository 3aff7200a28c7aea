// While a rotor is held for its protector: whether that has opened, so that nobody goes on holding a motor for nothing.

import type { SampleBlock } from '../rig/index.js';

/** Published: under 1 A counts as opened. What is held carries far more. */
const OPENED_A = 1;
const HELD_A = 2;
/** Long enough for the judging, and for a brush that only jumped. */
const GONE_S = 0.3;

export class ProtectorWatch {
  #hasHeld = false;
  #goneFromS: number | undefined;
  isOver = false;

  start(): void {
    this.#hasHeld = this.isOver = false;
    this.#goneFromS = undefined;
  }

  add({ timeS, channels }: SampleBlock): void {
    const current = channels.motorCurrentA?.at(-1);
    const nowS = timeS.at(-1);
    if (current === undefined || nowS === undefined) return;
    if (Math.abs(current) > HELD_A) this.#hasHeld = true;
    const isGone = this.#hasHeld && Math.abs(current) < OPENED_A;
    this.#goneFromS = isGone ? (this.#goneFromS ?? nowS) : undefined;
    if (this.#goneFromS !== undefined && nowS - this.#goneFromS > GONE_S) this.isOver = true;
  }
}
