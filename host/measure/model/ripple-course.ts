// What commutation ripple adds to a motor's steps, row by row.

import { sampleAt } from '../../arrays/index.js';

/**
 * What ripple of the relative size 1 adds in the rows [from, to) of one run-up or braking, in phase and a quarter turn
 * behind. Nothing in the first and the last.
 */
export interface RippleStretch {
  from: number;
  to: number;
  inPhase: RipplePart;
  behind: RipplePart;
}

/** To back-EMF (V) and, as torque, to the current that speeds the shaft up (A). */
export interface RipplePart {
  emfV: Float64Array;
  torqueA: Float64Array;
}

/** What ripple of the size 1 takes from the voltage at both ends of a step, and adds to the torque over it. */
export interface RippleShare {
  v0: number;
  v1: number;
  torqueA: number;
}

/** Parameters of each stretch: in phase, and a quarter turn behind. */
export const RIPPLE_PARTS = 2;

/** Goes along the rows; the stretches are in order of time, their parameters from the place `first` on. */
export class RippleCourse {
  /** Over the step last come to: the place of its first parameter, what it takes from the voltage at its end, its torque. */
  place = 0;
  voltageV = 0;
  torqueA = 0;
  readonly inPhase: RippleShare = { v0: 0, v1: 0, torqueA: 0 };
  readonly behind: RippleShare = { v0: 0, v1: 0, torqueA: 0 };
  private at = 0;

  constructor(
    private readonly stretches: readonly RippleStretch[],
    private readonly parameters: Float64Array,
    private readonly first: number,
  ) {}

  /** Comes to the step that ends in row `k`, each time a later one; false where there is no ripple. */
  comesTo(k: number): boolean {
    let now = this.stretches[this.at];
    while (now && now.to <= k) now = this.stretches[++this.at];
    if (!now || k <= now.from) return false;
    this.place = this.first + RIPPLE_PARTS * this.at;
    const sizes = [sampleAt(this.parameters, this.place), sampleAt(this.parameters, this.place + 1)] as const;
    takeShare(this.inPhase, now.inPhase, k - now.from);
    takeShare(this.behind, now.behind, k - now.from);
    this.voltageV = sizes[0] * this.inPhase.v1 + sizes[1] * this.behind.v1;
    this.torqueA = sizes[0] * this.inPhase.torqueA + sizes[1] * this.behind.torqueA;
    return true;
  }
}

function takeShare(share: RippleShare, { emfV, torqueA }: RipplePart, n: number): void {
  share.v0 = sampleAt(emfV, n - 1);
  share.v1 = sampleAt(emfV, n);
  share.torqueA = (sampleAt(torqueA, n - 1) + sampleAt(torqueA, n)) / 2;
}
