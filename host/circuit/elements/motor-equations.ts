// The equations of a PM DC motor and where its energy goes: V = R i + L di/dt + ke w + brush drop;
// J dw/dt = kt i - b w - friction - windage. Whether it turns, slips or meets a stop is the shaft's.

import { sampleAt } from '../../arrays/index.js';
import { motorAt } from '../copper.js';
import type { Layout } from '../solver/layout.js';
import { addAt, type Stamps } from '../solver/stamps.js';
import type { MotorElement } from './motor.js';
import type { AngleEffects } from './motor-angle.js';
import type { Brushes } from './motor-brush.js';
import type { Shaft } from './motor-shaft.js';

export class MotorEquations {
  /** Slots of the armature current and the shaft's speed. */
  readonly current: number;
  readonly speed: number;
  readonly #a: number;
  readonly #b: number;
  readonly #resistanceOhm: number;
  readonly #ke: number;
  readonly #kt: number;
  readonly #windage: number;

  constructor(
    readonly motor: MotorElement,
    readonly shaft: Shaft,
    readonly angle: AngleEffects,
    readonly brushes: Brushes,
    layout: Layout,
  ) {
    this.#a = layout.node(motor.a);
    this.#b = layout.node(motor.b);
    this.current = layout.unknown(`current of ${motor.id}`, 'current');
    this.speed = layout.unknown(`speed of ${motor.id}`, 'speed');
    const warm = motorAt(motor, motor.temperatureC);
    this.#resistanceOhm = warm.resistanceOhm;
    this.#ke = warm.backEmfVsPerRad;
    this.#kt = warm.torqueNmPerA;
    this.#windage = motor.windageNms2 ?? 0;
    if (motor.inductanceH > 0) layout.differential(this.current, motor.inductanceH, 0);
    layout.differential(this.speed, motor.inertiaKgM2, motor.inertiaKgM2 * (motor.startSpeedRadS ?? 0));
  }
  get isNonlinear(): boolean {
    return this.#windage > 0 || this.angle.hasRipple || this.motor.frictionRiseRadS !== undefined;
  }
  /** Friction that rises smoothly through standstill, with the sign of the speed; 0 where it sticks. */
  #smoothNm(speedRadS: number): number {
    const { frictionRiseRadS, coulombNm, reverseFrictionRatio = 1 } = this.motor;
    if (frictionRiseRadS === undefined) return 0;
    return coulombNm * (speedRadS < 0 ? reverseFrictionRatio : 1) * Math.tanh(speedRadS / frictionRiseRadS);
  }
  #armatureOhm(): number {
    return this.#resistanceOhm * (this.angle.isOnFault ? this.angle.faultFactor : 1);
  }
  stamp(stamps: Stamps): void {
    const { inductanceH, inertiaKgM2, viscousNms } = this.motor;
    const i = this.current;
    const w = this.speed;
    stamps.branch(this.#a, this.#b, i);
    if (inductanceH > 0) stamps.derivative(i, i, inductanceH);
    stamps.add(i, i, this.#armatureOhm() + this.brushes.slopeOhm);
    stamps.add(i, w, this.#ke);
    stamps.add(i, this.#a, -1);
    stamps.add(i, this.#b, 1);
    stamps.b[i] = -this.brushes.constantV;
    stamps.derivative(w, w, inertiaKgM2);
    stamps.add(w, w, viscousNms);
    stamps.add(w, i, -this.#kt);
    stamps.b[w] = -this.shaft.direction * this.shaft.constantNm;
    if (this.shaft.stands) stamps.constrain(w, w, 0);
  }
  /** Windage, and ripple at the shaft angle `angleRad`; nothing of it while the shaft stands. */
  nonlinear(x: Float64Array, angleRad: number, b: Float64Array): void {
    const w = sampleAt(x, this.speed);
    addAt(b, this.speed, -this.#windage * w * Math.abs(w) - this.#smoothNm(w));
    if (!this.angle.hasRipple) return;
    const ripple = this.angle.ripple(angleRad);
    addAt(b, this.current, -this.#ke * ripple * w);
    addAt(b, this.speed, this.#kt * ripple * sampleAt(x, this.current));
  }
  /** Torque of the current at a shaft angle. */
  driveNm(x: Float64Array, angleRad: number): number {
    return this.#kt * sampleAt(x, this.current) * (1 + this.angle.ripple(angleRad));
  }
  dissipatedW(x: Float64Array, timeS: number, angleRad: number): number {
    const i = sampleAt(x, this.current);
    const w = sampleAt(x, this.speed);
    const dropV = this.brushes.slopeOhm * i + this.brushes.constantV;
    const lossNm =
      this.motor.viscousNms * w +
      this.#windage * w * Math.abs(w) +
      this.#smoothNm(w) +
      this.shaft.direction * this.shaft.frictionNm(timeS);
    // Ripple acts on both sides alike, so it too leaves only its share of ke - kt behind.
    const gap = (this.#ke - this.#kt) * (1 + this.angle.ripple(angleRad));
    return this.#armatureOhm() * i * i + dropV * i + gap * w * i + lossNm * w;
  }
  storedJ(x: Float64Array): number {
    const { inductanceH, inertiaKgM2 } = this.motor;
    return (inductanceH * sampleAt(x, this.current) ** 2 + inertiaKgM2 * sampleAt(x, this.speed) ** 2) / 2;
  }
}
