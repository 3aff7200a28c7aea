// What the solver asks of a compiled element. Most elements override only `stamp`, `currentA` and `dissipatedW`.

import type { Stamps } from '../solver/stamps.js';

export abstract class Part {
  /** Discrete state that the matrix depends on. */
  mode = 0;
  /** Next instant at which `timed` wants to be called, s. */
  nextTimeS = Number.POSITIVE_INFINITY;
  readonly hasGuard: boolean = false;
  readonly hasSource: boolean = false;
  readonly isNonlinear: boolean = false;
  readonly limitsStep: boolean = false;
  readonly hasMemory: boolean = false;

  constructor(readonly id: string) {}

  /** Writes the element in its present mode. */
  abstract stamp(stamps: Stamps): void;
  /** Adds the time-dependent part of b; must stay linear in time between two `timed` calls. */
  source(_timeS: number, _b: Float64Array): void {}
  /** Adds what the matrix leaves out, evaluated at `x`, fraction `s` of the step, time `timeS`; false when that is nothing
   * at this time whatever `x`. */
  nonlinear(_x: Float64Array, _s: number, _timeS: number, _b: Float64Array): boolean {
    return false;
  }
  /** Margin of the present mode at `x`, fraction `s`: the mode is void below -1e-6. Unit of order one. */
  guard(_x: Float64Array, _s: number, _timeS: number): number {
    return 0;
  }
  /** Leaves a mode whose guard is void at `x`. */
  cross(_x: Float64Array, _timeS: number): void {}
  /** Acts at `nextTimeS`. */
  timed(_timeS: number): void {}
  /** Largest step the element bears from `x` on, s. */
  largestStepS(_x: Float64Array): number {
    return Number.POSITIVE_INFINITY;
  }
  /** Carries quantities outside the matrix (angle, heat) to fraction `s` of the held step. */
  commit(_s: number, _timeS: number): void {}
  /** Takes a control; undefined when accepted, otherwise what would have been right. */
  checkControl(_state: string | boolean): string | undefined {
    return 'an element that can be controlled (contact, switch or motor)';
  }
  control(_state: string | boolean, _timeS: number): void {}
  /** Current from the first terminal through the element. */
  abstract currentA(x: Float64Array): number;
  /** Power turned into heat or handed to the load, at `x`, fraction `s` of the held step. */
  dissipatedW(_x: Float64Array, _timeS: number, _s: number): number {
    return 0;
  }
  storedJ(_x: Float64Array, _timeS: number): number {
    return 0;
  }
  suppliedW(_x: Float64Array, _timeS: number): number {
    return 0;
  }
  /** The event name of the present state; a change is reported. Empty = nothing to report. */
  state(): string {
    return '';
  }
}

/** Switching state by a list of rising instants; used by contacts, switches and relays. */
export class Timeline {
  readonly #changes: { timeS: number; state: number }[] = [];

  get nextTimeS(): number {
    return this.#changes[0]?.timeS ?? Number.POSITIVE_INFINITY;
  }
  clear(): void {
    this.#changes.length = 0;
  }
  add(timeS: number, state: number): void {
    this.#changes.push({ timeS, state });
  }
  /** The last state due at `timeS`, or `present` when none is. */
  take(timeS: number, present: number): number {
    const due = this.#changes.findLastIndex((change) => change.timeS <= timeS) + 1;
    return this.#changes.splice(0, due).at(-1)?.state ?? present;
  }
  /** Adds a closing at `timeS` to `closed`, with bounces to `open`. */
  addClosing(timeS: number, closed: number, open: number, bounceS: readonly number[] | undefined): void {
    this.add(timeS, closed);
    bounceS?.forEach((after, i) => {
      this.add(timeS + after, i % 2 === 0 ? open : closed);
    });
  }
}
