// Whether a motor's shaft turns: Coulomb friction with true sticking, end stops, a held rotor. Knows torques and
// limits only; the equations are the motor's.

import { itemAt } from '../../arrays/index.js';
import type { MotorElement } from './motor.js';
import { WaveformWalker } from './waveform.js';

export const FREE = 0;
export const FORWARD = 1;
export const BACKWARD = 2;
export const STUCK = 3;
export const HELD = 4;
export const AT_MAXIMUM = 5;
export const AT_MINIMUM = 6;
const NAMES = ['turns', 'slips', 'slips', 'stuck', 'held', 'at-end-stop', 'at-end-stop'];

/** Speed below which a shaft counts as one at rest, where settling leaves a little of the way it came from; choice of this solver. */
const STANDING_RAD_S = 1e-5;

export class Shaft {
  mode: number;
  readonly load: WaveformWalker | undefined;
  readonly #forwardNm: number;
  readonly #backwardNm: number;
  readonly #scaleNm: number;
  readonly #minimumRad: number;
  readonly #maximumRad: number;
  readonly #hasFriction: boolean;
  /** A stop first takes the speed; only after that may the torque lead away from it. */
  #arrivedS = Number.NEGATIVE_INFINITY;
  readonly hasGuard: boolean;

  constructor(motor: MotorElement) {
    const load = motor.loadNm ?? 0;
    this.load = typeof load === 'number' ? undefined : new WaveformWalker(load);
    const constantLoadNm = typeof load === 'number' ? load : 0;
    // Friction that rises smoothly stands in the equations; it never sticks.
    const stickingNm = motor.frictionRiseRadS === undefined ? motor.coulombNm : 0;
    this.#forwardNm = stickingNm + constantLoadNm;
    this.#backwardNm = stickingNm * (motor.reverseFrictionRatio ?? 1) + constantLoadNm;
    this.#hasFriction = this.#forwardNm > 0 || this.load !== undefined;
    this.#scaleNm =
      Math.max(
        this.#forwardNm,
        this.#backwardNm,
        ...(typeof load === 'number' ? [] : load.map((point) => point[1])),
      ) || 1;
    this.#minimumRad = motor.endStopsRad?.minimum ?? Number.NEGATIVE_INFINITY;
    this.#maximumRad = motor.endStopsRad?.maximum ?? Number.POSITIVE_INFINITY;
    this.hasGuard = this.#hasFriction || motor.endStopsRad !== undefined;
    this.mode = motor.rotorHeld ? HELD : this.#startingAt(motor.startSpeedRadS ?? 0);
  }
  #startingAt(speedRadS: number): number {
    if (speedRadS === 0 || !this.#hasFriction) return this.#atRest();
    return speedRadS > 0 ? FORWARD : BACKWARD;
  }
  #atRest(): number {
    return this.#hasFriction ? STUCK : FREE;
  }
  get stands(): boolean {
    return this.mode >= STUCK;
  }
  /** Friction opposes this sign. */
  get direction(): number {
    return this.mode === FORWARD ? 1 : this.mode === BACKWARD ? -1 : 0;
  }
  /** Of the direction that it turns in; what does not move in time. */
  get constantNm(): number {
    return this.mode === BACKWARD ? this.#backwardNm : this.#forwardNm;
  }
  frictionNm(timeS: number): number {
    return this.constantNm + this.loadNm(timeS);
  }
  /** What a shaft at rest sets against being driven forward, or backward. */
  #againstNm(isForward: boolean, timeS: number): number {
    return (isForward ? this.#forwardNm : this.#backwardNm) + this.loadNm(timeS);
  }
  /** What of the load moves in time. */
  loadNm(timeS: number): number {
    return this.load?.at(timeS) ?? 0;
  }
  get nextTimeS(): number {
    return this.load?.nextTimeS ?? Number.POSITIVE_INFINITY;
  }
  hold(isHeld: boolean): void {
    if (isHeld) this.mode = HELD;
    else if (this.mode === HELD) this.mode = this.#atRest();
  }
  /** Margin of the present mode for drive torque, speed and angle. */
  guard(driveNm: number, speedRadS: number, angleRad: number, timeS: number): number {
    if (this.mode >= AT_MAXIMUM && timeS === this.#arrivedS) return 1;
    const toStop = Math.min(this.#maximumRad - angleRad, angleRad - this.#minimumRad);
    switch (this.mode) {
      case FORWARD:
        return Math.min(this.#slipping(driveNm, speedRadS, timeS), this.#maximumRad - angleRad);
      case BACKWARD:
        return Math.min(this.#slipping(-driveNm, -speedRadS, timeS), angleRad - this.#minimumRad);
      case STUCK:
        return (this.#againstNm(driveNm > 0, timeS) - Math.abs(driveNm)) / this.#scaleNm;
      case AT_MAXIMUM:
        return (driveNm + this.#againstNm(false, timeS)) / this.#scaleNm;
      case AT_MINIMUM:
        return (this.#againstNm(true, timeS) - driveNm) / this.#scaleNm;
      case FREE:
        return toStop;
      default:
        return 0;
    }
  }
  /** Margin of slipping, of drive and speed along the way it slips: a shaft at rest that is driven on goes that way. */
  #slipping(driveNm: number, speedRadS: number, timeS: number): number {
    const isDrivenOn = speedRadS < 0 && speedRadS > -STANDING_RAD_S && driveNm > this.frictionNm(timeS);
    return isDrivenOn ? 0 : speedRadS;
  }
  cross(driveNm: number, speedRadS: number, angleRad: number, timeS: number): void {
    const margin = 1e-6;
    if (this.mode === AT_MAXIMUM) this.mode = this.#hasFriction ? BACKWARD : FREE;
    else if (this.mode === AT_MINIMUM) this.mode = this.#hasFriction ? FORWARD : FREE;
    else if (this.mode === STUCK) this.mode = driveNm > 0 ? FORWARD : BACKWARD;
    else if (angleRad - this.#maximumRad > -margin && speedRadS > 0) this.#arrive(AT_MAXIMUM, timeS);
    else if (this.#minimumRad - angleRad > -margin && speedRadS < 0) this.#arrive(AT_MINIMUM, timeS);
    else if (this.#hasFriction) {
      const forward = this.mode === FORWARD;
      const isDrivenBack = (forward ? -driveNm : driveNm) > this.#againstNm(!forward, timeS);
      this.mode = isDrivenBack ? (forward ? BACKWARD : FORWARD) : STUCK;
    }
  }
  #arrive(mode: number, timeS: number): void {
    this.mode = mode;
    this.#arrivedS = timeS;
  }
  /** The angle, put exactly on a stop that it has reached. */
  restingAngle(angleRad: number): number {
    return this.mode === AT_MAXIMUM
      ? this.#maximumRad
      : this.mode === AT_MINIMUM
        ? this.#minimumRad
        : angleRad;
  }
  state(): string {
    return itemAt(NAMES, this.mode);
  }
}
