// A relay's armature: from coil current to contact state, in time. Two currents start it, two travels delay it.

import { Timeline } from './part.js';
import type { RelayElement } from './relay.js';

export const BREAK_CLOSED = 0;
export const BOTH_OPEN = 1;
export const MAKE_CLOSED = 2;

export class Armature {
  contact: number;
  isPulling = false;
  readonly #relay: RelayElement;
  readonly #timeline = new Timeline();
  #fromPlace = 0;
  #startS = Number.NEGATIVE_INFINITY;
  #durationS = 1;
  #label = '';

  constructor(relay: RelayElement) {
    this.#relay = relay;
    this.contact = relay.stuck === 'make' ? MAKE_CLOSED : BREAK_CLOSED;
  }
  get nextTimeS(): number {
    return this.#timeline.nextTimeS;
  }
  /** Margin of the coil current to what would start the armature the other way. */
  margin(coilA: number): number {
    const { pullInCurrentA, dropOutCurrentA } = this.#relay;
    const magnitude = Math.abs(coilA);
    return this.isPulling ? magnitude / dropOutCurrentA - 1 : 1 - magnitude / pullInCurrentA;
  }
  /** Starts the armature the other way. */
  start(timeS: number): void {
    const place = this.place(timeS);
    this.isPulling = !this.isPulling;
    this.#label = this.isPulling ? 'pulled-in' : 'dropped-out';
    this.#timeline.clear();
    if (this.#relay.stuck) return;
    const { operateTravelS, releaseTravelS, transferS, bounceS } = this.#relay;
    const travelS = this.isPulling ? operateTravelS : releaseTravelS;
    const target = this.isPulling ? MAKE_CLOSED : BREAK_CLOSED;
    this.#fromPlace = place;
    this.#startS = timeS;
    this.#durationS = travelS + transferS;
    if (this.contact === target) return;
    if (this.contact !== BOTH_OPEN) this.#timeline.add(timeS + travelS, BOTH_OPEN);
    const arrivesS = timeS + (this.contact === BOTH_OPEN ? 0 : travelS) + transferS;
    this.#timeline.addClosing(arrivesS, target, BOTH_OPEN, bounceS);
  }
  timed(timeS: number): void {
    const before = this.contact;
    this.contact = this.#timeline.take(timeS, before);
    if (this.contact === before) return;
    if (this.contact === MAKE_CLOSED) this.#label = 'make-closed';
    else if (this.contact === BREAK_CLOSED) this.#label = 'break-closed';
    else this.#label = before === MAKE_CLOSED ? 'make-opened' : 'break-opened';
  }
  /** 0 at rest, 1 pulled in; uniformly accelerated in between. */
  place(timeS: number): number {
    const target = this.isPulling && !this.#relay.stuck ? 1 : 0;
    const part = Math.min(1, Math.max(0, (timeS - this.#startS) / this.#durationS));
    return this.#fromPlace + (target - this.#fromPlace) * part * part;
  }
  /** Time derivative of `place`, 1/s. */
  placeRate(timeS: number): number {
    if (!this.isMoving(timeS)) return 0;
    const target = this.isPulling && !this.#relay.stuck ? 1 : 0;
    return (
      (2 * (target - this.#fromPlace) * Math.max(0, timeS - this.#startS)) /
      (this.#durationS * this.#durationS)
    );
  }
  isMoving(timeS: number): boolean {
    return timeS < this.#startS + this.#durationS;
  }
  get durationS(): number {
    return this.#durationS;
  }
  state(): string {
    return this.#label;
  }
}
