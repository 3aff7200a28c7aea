// Permanent-magnet DC motor: V = R i + L di/dt + ke w + brush drop; J dw/dt = kt i - b w - friction - windage.
// ke and kt are apart because catalogue figures are; what falls between them counts as loss.

import { copperFactor, ferriteFactor } from '../copper.js';
import type { MotorElement } from '../netlist.js';
import type { Layout } from '../solver/layout.js';
import type { Stamps } from '../solver/stamps.js';
import { AngleEffects } from './motor-angle.js';
import { Brushes } from './motor-brush.js';
import { Shaft } from './motor-shaft.js';
import { Part } from './part.js';

/** Temperature at which a motor's resistance and constants are given, C. */
const REFERENCE_C = 25;

export class MotorPart extends Part {
  override readonly hasMemory = true;
  override readonly hasGuard: boolean;
  override readonly hasSource: boolean;
  override readonly isNonlinear: boolean;
  override readonly limitsStep: boolean;
  readonly #a: number;
  readonly #b: number;
  readonly #current: number;
  readonly #speed: number;
  readonly #resistanceOhm: number;
  readonly #ke: number;
  readonly #kt: number;
  readonly #windage: number;
  readonly #shaft: Shaft;
  readonly #angle: AngleEffects;
  readonly #brushes: Brushes;

  constructor(
    readonly element: MotorElement,
    readonly layout: Layout,
  ) {
    super(element.id);
    this.#a = layout.node(element.a);
    this.#b = layout.node(element.b);
    this.#current = layout.unknown(`current of ${element.id}`, 'current');
    this.#speed = layout.unknown(`speed of ${element.id}`, 'speed');
    this.#resistanceOhm = element.resistanceOhm * copperFactor(REFERENCE_C, element.temperatureC);
    const flux = ferriteFactor(REFERENCE_C, element.temperatureC);
    this.#ke = element.backEmfVsPerRad * flux;
    this.#kt = element.torqueNmPerA * flux;
    this.#windage = element.windageNms2 ?? 0;
    this.#shaft = new Shaft(element);
    this.#angle = new AngleEffects(element);
    this.#brushes = new Brushes(element);
    this.hasSource = this.#shaft.load !== undefined;
    this.hasGuard = this.#shaft.hasGuard || this.#brushes.isNeeded || this.#angle.hasFault;
    this.isNonlinear = this.#windage > 0 || this.#angle.hasRipple;
    this.limitsStep = this.#angle.isNeeded;
    this.nextTimeS = this.#shaft.load?.nextTimeS ?? Number.POSITIVE_INFINITY;
    if (element.inductanceH > 0) layout.differential(this.#current, element.inductanceH, 0);
    layout.differential(this.#speed, element.inertiaKgM2, 0);
    this.#remode();
  }
  #remode(): void {
    this.mode = this.#shaft.mode + 8 * (this.#brushes.side + 1) + (this.#angle.isOnFault ? 32 : 0);
  }
  #armatureOhm(): number {
    return this.#resistanceOhm * (this.#angle.isOnFault ? this.#angle.faultFactor : 1);
  }
  stamp(stamps: Stamps): void {
    const { inductanceH, inertiaKgM2, viscousNms } = this.element;
    const i = this.#current;
    const w = this.#speed;
    stamps.branch(this.#a, this.#b, i);
    if (inductanceH > 0) stamps.derivative(i, i, inductanceH);
    stamps.add(i, i, this.#armatureOhm() + this.#brushes.slopeOhm);
    stamps.add(i, w, this.#ke);
    stamps.add(i, this.#a, -1);
    stamps.add(i, this.#b, 1);
    stamps.b[i] = -this.#brushes.constantV;
    stamps.derivative(w, w, inertiaKgM2);
    stamps.add(w, w, viscousNms);
    stamps.add(w, i, -this.#kt);
    stamps.b[w] = -this.#shaft.direction * this.#shaft.constantNm;
    if (this.#shaft.stands) stamps.constrain(w, w, 0);
  }
  override source(timeS: number, b: Float64Array): void {
    b[this.#speed]! -= this.#shaft.direction * this.#shaft.load!.at(timeS);
  }
  override nonlinear(x: Float64Array, s: number, _timeS: number, b: Float64Array): void {
    if (this.#shaft.stands) return;
    const w = x[this.#speed]!;
    b[this.#speed]! -= this.#windage * w * Math.abs(w);
    if (!this.#angle.hasRipple) return;
    const ripple = this.#angle.ripple(this.#angleAt(x, s));
    b[this.#current]! -= this.#ke * ripple * w;
    b[this.#speed]! += this.#kt * ripple * x[this.#current]!;
  }
  /** Shaft angle at fraction `s` with the speed there not yet accepted: straight from the step's start. */
  #angleAt(x: Float64Array, s: number): number {
    const { step } = this.layout;
    if (s === 0) return this.#angle.angleRad;
    return this.#angle.angleRad + step.sizeS * s * 0.5 * (step.x0[this.#speed]! + x[this.#speed]!);
  }
  angleRad(s: number): number {
    return this.#angle.angleRad + (s === 0 ? 0 : this.layout.step.integral(this.#speed, s));
  }
  speedRadS(x: Float64Array): number {
    return x[this.#speed]!;
  }
  #driveNm(x: Float64Array, angleRad: number): number {
    return this.#kt * x[this.#current]! * (1 + this.#angle.ripple(angleRad));
  }
  override guard(x: Float64Array, s: number, timeS: number): number {
    const angleRad = this.angleRad(s);
    const shaft = this.#shaft.guard(this.#driveNm(x, angleRad), x[this.#speed]!, angleRad, timeS);
    const margin = Math.min(shaft, this.#brushes.margin(x[this.#current]!));
    return this.#angle.hasFault ? Math.min(margin, this.#angle.margin(angleRad)) : margin;
  }
  override cross(x: Float64Array, timeS: number): void {
    const angleRad = this.#angle.angleRad;
    const speedRadS = x[this.#speed]!;
    const driveNm = this.#driveNm(x, angleRad);
    if (this.#shaft.guard(driveNm, speedRadS, angleRad, timeS) < -5e-7) {
      this.#shaft.cross(driveNm, speedRadS, angleRad, timeS);
      this.#angle.angleRad = this.#shaft.restingAngle(angleRad);
    }
    if (this.#brushes.margin(x[this.#current]!) < -5e-7) this.#brushes.cross(x[this.#current]!);
    if (this.#angle.hasFault && this.#angle.margin(angleRad) < -5e-7) this.#angle.locate(angleRad, speedRadS);
    this.#remode();
  }
  override timed(timeS: number): void {
    this.#shaft.load!.passTo(timeS);
    this.nextTimeS = this.#shaft.load!.nextTimeS;
  }
  override largestStepS(x: Float64Array): number {
    return this.#angle.largestStepS(x[this.#speed]!);
  }
  override commit(s: number): void {
    this.#angle.angleRad += this.layout.step.integral(this.#speed, s);
  }
  override checkControl(state: string | boolean): string | undefined {
    return typeof state === 'boolean' || state === 'held' || state === 'free'
      ? undefined
      : 'true (rotor held), false (free)';
  }
  override control(state: string | boolean): void {
    this.#shaft.hold(state === true || state === 'held');
    this.#remode();
  }
  /** Armature current; a suppression capacitor's current is apart from it. */
  currentA(x: Float64Array): number {
    return x[this.#current]!;
  }
  override dissipatedW(x: Float64Array, timeS: number, s: number): number {
    const i = x[this.#current]!;
    const w = x[this.#speed]!;
    const { viscousNms } = this.element;
    const dropV = this.#brushes.slopeOhm * i + this.#brushes.constantV;
    const lossNm =
      viscousNms * w +
      this.#windage * w * Math.abs(w) +
      this.#shaft.direction * this.#shaft.frictionNm(timeS);
    // Ripple acts on both sides alike, so it too leaves only its share of ke - kt behind.
    const gap =
      (this.#ke - this.#kt) * (this.#angle.hasRipple ? 1 + this.#angle.ripple(this.angleRad(s)) : 1);
    return this.#armatureOhm() * i * i + dropV * i + gap * w * i + lossNm * w;
  }
  override storedJ(x: Float64Array): number {
    const { inductanceH, inertiaKgM2 } = this.element;
    return (inductanceH * x[this.#current]! ** 2 + inertiaKgM2 * x[this.#speed]! ** 2) / 2;
  }
  override state(): string {
    return this.#shaft.state();
  }
}
