// Drop of both brushes: rising to its full value at the knee current, constant beyond.

import type { MotorElement } from './motor.js';

export class Brushes {
  /** 0 below the knee, else the sign of the full drop. */
  side = 0;
  readonly #dropV: number;
  readonly #kneeA: number;

  constructor(motor: MotorElement) {
    this.#dropV = motor.brushDropV;
    this.#kneeA = motor.brushKneeA;
  }
  get isNeeded(): boolean {
    return this.#dropV > 0;
  }
  /** Resistance and constant voltage of the present side. */
  get slopeOhm(): number {
    return this.side === 0 && this.#dropV > 0 ? this.#dropV / this.#kneeA : 0;
  }
  get constantV(): number {
    return this.side * this.#dropV;
  }
  margin(currentA: number): number {
    if (this.#dropV === 0) return Number.POSITIVE_INFINITY;
    const relative = currentA / this.#kneeA;
    return this.side === 0 ? 1 - Math.abs(relative) : this.side * relative - 1;
  }
  cross(currentA: number): void {
    this.side = this.side === 0 ? Math.sign(currentA) : 0;
  }
}
