// What depends on a motor's shaft angle: commutation ripple of back-EMF and torque, and a faulty stretch of commutator.

import type { MotorElement } from './motor.js';

/** Steps to a ripple period, so that its shape is kept; choice of this solver. */
const STEPS_PER_PERIOD = 16;
const TURN_RAD = 2 * Math.PI;

export class AngleEffects {
  /** On the faulty stretch, which spans angle 0 to widthTurns of every turn. */
  isOnFault = false;
  angleRad: number;
  readonly isNeeded: boolean;
  readonly hasRipple: boolean;
  readonly hasFault: boolean;
  readonly faultFactor: number;
  readonly #isShorted: boolean;
  readonly #segments: number;
  readonly #amplitude: number;
  readonly #widthRad: number;
  #lowRad = 0;
  #highRad = 0;

  constructor(motor: MotorElement) {
    this.angleRad = motor.startAngleRad ?? 0;
    this.#segments = motor.ripple?.segments ?? 0;
    this.#amplitude = motor.ripple?.amplitude ?? 0;
    this.hasRipple = this.#amplitude > 0;
    this.hasFault = motor.segmentFault !== undefined;
    this.faultFactor = motor.segmentFault?.resistanceFactor ?? 1;
    this.#isShorted = motor.segmentFault?.kind === 'shorted';
    this.#widthRad = (motor.segmentFault?.widthTurns ?? 0) * TURN_RAD;
    this.isNeeded = this.hasRipple || this.hasFault;
    if (this.hasFault) this.locate(this.angleRad, 1);
  }
  /** Relative modulation of back-EMF and torque at an angle. */
  ripple(angleRad: number): number {
    if (this.#isShorted && this.isOnFault) return 0;
    return this.#amplitude * Math.cos(this.#segments * angleRad);
  }
  largestStepS(speedRadS: number): number {
    const perTurn = Math.max(
      this.hasRipple ? this.#segments : 0,
      this.hasFault ? TURN_RAD / this.#widthRad : 0,
    );
    return TURN_RAD / (perTurn * STEPS_PER_PERIOD * Math.max(Math.abs(speedRadS), 1e-9));
  }
  /** Distance to the nearer edge of the present stretch, rad. */
  margin(angleRad: number): number {
    return Math.min(angleRad - this.#lowRad, this.#highRad - angleRad);
  }
  /** Takes the stretch that lies around `angleRad`, going in `direction` when on an edge. */
  locate(angleRad: number, direction: number): void {
    const inside = angleRad + 2e-6 * Math.sign(direction || 1);
    const turnStart = Math.floor(inside / TURN_RAD) * TURN_RAD;
    this.isOnFault = inside - turnStart < this.#widthRad;
    this.#lowRad = this.isOnFault ? turnStart : turnStart + this.#widthRad;
    this.#highRad = this.isOnFault ? turnStart + this.#widthRad : turnStart + TURN_RAD;
  }
}
