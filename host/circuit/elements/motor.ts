// Permanent-magnet DC motor: its equations, and the modes in which they hold (shaft, brushes, faulty segment).
// ke and kt are apart because catalogue figures are; what falls between them counts as loss.

import * as z from 'zod';
import { sampleAt } from '../../arrays/index.js';
import type { Layout } from '../solver/layout.js';
import { addAt, type Stamps } from '../solver/stamps.js';
import { capacitor } from './capacitor.js';
import {
  anyNumber,
  elementKind,
  elementSchema,
  ends,
  nonNegative,
  nonNegativeWaveform,
  positive,
  type Wrong,
} from './kind.js';
import { AngleEffects } from './motor-angle.js';
import { Brushes } from './motor-brush.js';
import { MotorEquations } from './motor-equations.js';
import { Shaft } from './motor-shaft.js';
import { Part } from './part.js';

/** Positive current enters at `a`; positive speed is the forward direction. */
const schema = elementSchema('motor', {
  ...ends,
  /** At MOTOR_REFERENCE_C; copper and magnets follow temperatureC. Write 25 to use the numbers as they stand. */
  temperatureC: anyNumber,
  /** Between the terminals, brushes included. */
  resistanceOhm: positive,
  inductanceH: nonNegative,
  backEmfVsPerRad: nonNegative,
  torqueNmPerA: nonNegative,
  inertiaKgM2: positive,
  viscousNms: nonNegative,
  coulombNm: nonNegative,
  /** Constant friction of the backward direction over that of the forward one: what a lid or a window weighs behind a worm. */
  reverseFrictionRatio: positive.optional(),
  /**
   * Constant friction that rises smoothly through standstill, coulombNm tanh(speed / frictionRiseRadS), in place of one
   * that sticks: what other programmes often have. Sticking where absent.
   */
  frictionRiseRadS: positive.optional(),
  /** Speed at time 0; at rest where absent. */
  startSpeedRadS: anyNumber.optional(),
  /** Load torque per speed squared, Nm s2. */
  windageNms2: nonNegative.optional(),
  /** Total drop of both brushes, reached at brushKneeA; 0 = none. */
  brushDropV: nonNegative,
  brushKneeA: nonNegative,
  /** External load torque opposing rotation, as a function of time. */
  loadNm: nonNegativeWaveform.optional(),
  /** Back-EMF modulation, `segments` periods a turn, as a fraction of the back-EMF. */
  ripple: z.strictObject({ segments: z.int().min(1), amplitude: z.number().min(0).lt(1) }).optional(),
  /**
   * Armature resistance factor by shaft angle: worn or dead commutator bars, over one stretch of each turn. Bars that are
   * shorted to each other do not commutate: the stretch has no ripple.
   */
  segmentFault: z
    .strictObject({
      kind: z.enum(['open', 'shorted']),
      resistanceFactor: positive,
      widthTurns: z.number().positive().lt(1),
    })
    .optional(),
  rotorHeld: z.boolean().optional(),
  /** Shaft angles from the start angle. */
  endStopsRad: z.strictObject({ minimum: z.number(), maximum: z.number() }).optional(),
  startAngleRad: anyNumber.optional(),
  suppressionCapacitorF: nonNegative.optional(),
});
export type MotorElement = z.infer<typeof schema>;

/** A guard below this is void. Half the solver's margin, for rounding. */
const VOID = -5e-7;

export class MotorPart extends Part {
  override readonly hasMemory = true;
  override readonly hasGuard: boolean;
  override readonly hasSource: boolean;
  override readonly isNonlinear: boolean;
  override readonly limitsStep: boolean;
  readonly #shaft: Shaft;
  readonly #angle: AngleEffects;
  readonly #brushes: Brushes;
  readonly #equations: MotorEquations;

  constructor(
    element: MotorElement,
    readonly layout: Layout,
  ) {
    super(element.id);
    this.#shaft = new Shaft(element);
    this.#angle = new AngleEffects(element);
    this.#brushes = new Brushes(element);
    this.#equations = new MotorEquations(element, this.#shaft, this.#angle, this.#brushes, layout);
    this.hasSource = this.#shaft.load !== undefined;
    this.hasGuard = this.#shaft.hasGuard || this.#brushes.isNeeded || this.#angle.hasFault;
    this.isNonlinear = this.#equations.isNonlinear;
    this.limitsStep = this.#angle.isNeeded;
    this.nextTimeS = this.#shaft.nextTimeS;
    this.#remode();
  }
  #remode(): void {
    this.mode = this.#shaft.mode + 8 * (this.#brushes.side + 1) + (this.#angle.isOnFault ? 32 : 0);
  }
  stamp(stamps: Stamps): void {
    this.#equations.stamp(stamps);
  }
  override source(timeS: number, b: Float64Array): void {
    addAt(b, this.#equations.speed, -this.#shaft.direction * this.#shaft.loadNm(timeS));
  }
  override nonlinear(x: Float64Array, s: number, _timeS: number, b: Float64Array): boolean {
    if (!this.#shaft.stands) this.#equations.nonlinear(x, this.#angleAt(x, s), b);
    return !this.#shaft.stands;
  }
  /** Shaft angle at fraction `s` with the speed there not yet accepted: straight from the step's start. */
  #angleAt(x: Float64Array, s: number): number {
    if (s === 0) return this.#angle.angleRad;
    const { step } = this.layout;
    const meanRadS = 0.5 * (this.speedRadS(step.x0) + this.speedRadS(x));
    return this.#angle.angleRad + step.sizeS * s * meanRadS;
  }
  angleRad(s: number): number {
    return this.#angle.angleRad + (s === 0 ? 0 : this.layout.step.integral(this.#equations.speed, s));
  }
  speedRadS(x: Float64Array): number {
    return sampleAt(x, this.#equations.speed);
  }
  override guard(x: Float64Array, s: number, timeS: number): number {
    const angleRad = this.angleRad(s);
    const driveNm = this.#equations.driveNm(x, angleRad);
    const turning = this.#shaft.guard(driveNm, this.speedRadS(x), angleRad, timeS);
    const margin = Math.min(turning, this.#brushes.margin(this.currentA(x)));
    return this.#angle.hasFault ? Math.min(margin, this.#angle.margin(angleRad)) : margin;
  }
  override cross(x: Float64Array, timeS: number): void {
    const angleRad = this.#angle.angleRad;
    const [speedRadS, driveNm] = [this.speedRadS(x), this.#equations.driveNm(x, angleRad)];
    if (this.#shaft.guard(driveNm, speedRadS, angleRad, timeS) < VOID) {
      this.#shaft.cross(driveNm, speedRadS, angleRad, timeS);
      this.#angle.angleRad = this.#shaft.restingAngle(angleRad);
    }
    if (this.#brushes.margin(this.currentA(x)) < VOID) this.#brushes.cross(this.currentA(x));
    if (this.#angle.hasFault && this.#angle.margin(angleRad) < VOID) this.#angle.locate(angleRad, speedRadS);
    this.#remode();
  }
  override timed(timeS: number): void {
    this.#shaft.load?.passTo(timeS);
    this.nextTimeS = this.#shaft.nextTimeS;
  }
  override largestStepS(x: Float64Array): number {
    return this.#angle.largestStepS(this.speedRadS(x));
  }
  override commit(s: number): void {
    this.#angle.angleRad += this.layout.step.integral(this.#equations.speed, s);
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
    return sampleAt(x, this.#equations.current);
  }
  override dissipatedW(x: Float64Array, timeS: number, s: number): number {
    return this.#equations.dissipatedW(x, timeS, this.#angle.hasRipple ? this.angleRad(s) : 0);
  }
  override storedJ(x: Float64Array): number {
    return this.#equations.storedJ(x);
  }
  override state(): string {
    return this.#shaft.state();
  }
}

function together(motor: MotorElement): Wrong | undefined {
  const { brushDropV, brushKneeA, startAngleRad = 0, endStopsRad: stops, ripple, segmentFault } = motor;
  if (brushDropV > 0 && !(brushKneeA > 0)) {
    return { quantity: 'brushKneeA', value: brushKneeA, right: 'a number above 0' };
  }
  if (motor.rotorHeld && motor.startSpeedRadS) {
    return { quantity: 'startSpeedRadS', value: motor.startSpeedRadS, right: '0 where the rotor is held' };
  }
  const isBetween = (angleRad: number): boolean =>
    stops === undefined ||
    (stops.minimum <= angleRad && angleRad <= stops.maximum && stops.minimum < stops.maximum);
  if (!isBetween(startAngleRad)) {
    const right = 'minimum below maximum, with the start angle between';
    return { quantity: 'endStopsRad', value: stops, right };
  }
  if (ripple && !(ripple.segments >= 1 && ripple.amplitude >= 0 && ripple.amplitude < 1)) {
    const right = 'segments of 1 or more and an amplitude from 0 to below 1';
    return { quantity: 'ripple', value: ripple, right };
  }
  const { resistanceFactor = 1, widthTurns = 0.5 } = segmentFault ?? {};
  if (!(resistanceFactor > 0 && widthTurns > 0 && widthTurns < 1)) {
    const right = 'a resistanceFactor above 0 and widthTurns between 0 and 1';
    return { quantity: 'segmentFault', value: segmentFault, right };
  }
  return undefined;
}

export const motor = elementKind(schema, {
  together,
  links: ({ a, b, inductanceH, suppressionCapacitorF = 0 }) => [
    { a, b, isInductive: inductanceH > 0 },
    ...(suppressionCapacitorF > 0 ? [{ a, b }] : []),
  ],
  parts: (element, layout) => {
    const part = new MotorPart(element, layout);
    const { id, a, b, suppressionCapacitorF: capacitanceF = 0 } = element;
    if (capacitanceF === 0) return [part];
    const beside = { kind: 'capacitor', id: `${id}.suppression`, a, b, capacitanceF } as const;
    return [part, ...capacitor.parts(beside, layout)];
  },
});
