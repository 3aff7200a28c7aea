// Limit switch: a contact that a motor's travel opens and closes again.

import { z } from 'zod';
import type { Layout } from '../solver/layout.js';
import { LEAK_S, type Stamps } from '../solver/stamps.js';
import { anyNumber, elementKind, elementSchema, ends, positive } from './kind.js';
import type { MotorPart } from './motor.js';
import { Part } from './part.js';

/** A contact that a motor's travel opens. Shaft angle from the start angle, as the motor's end stops. */
const schema = elementSchema('limit', {
  ...ends,
  motor: z.string(),
  opensAboveRad: anyNumber.optional(),
  opensBelowRad: anyNumber.optional(),
  contactResistanceOhm: positive,
  stuck: z.enum(['closed', 'open']).optional(),
});
export type LimitElement = z.infer<typeof schema>;

const OPEN = 0;
const CLOSED = 1;
/** Travel back before the contact closes again, rad at the armature. Choice of this model, no source. */
const HYSTERESIS_RAD = 0.5;

export class LimitPart extends Part {
  override readonly hasGuard: boolean;
  readonly #a: number;
  readonly #b: number;
  #motor: MotorPart | undefined;

  constructor(
    readonly element: LimitElement,
    layout: Layout,
  ) {
    super(element.id);
    this.#a = layout.node(element.a);
    this.#b = layout.node(element.b);
    this.hasGuard = element.stuck === undefined;
    this.mode = element.stuck === 'open' ? OPEN : CLOSED;
  }
  watch(motor: MotorPart): void {
    this.#motor = motor;
  }
  /** Travel left inside the limits, rad; negative outside. */
  #insideRad(angleRad: number): number {
    const { opensAboveRad, opensBelowRad } = this.element;
    return Math.min(
      (opensAboveRad ?? Number.POSITIVE_INFINITY) - angleRad,
      angleRad - (opensBelowRad ?? Number.NEGATIVE_INFINITY),
    );
  }
  #margin(angleRad: number): number {
    const insideRad = this.#insideRad(angleRad);
    return this.mode === CLOSED ? insideRad : HYSTERESIS_RAD - insideRad;
  }
  #siemens(): number {
    return this.mode === CLOSED ? 1 / this.element.contactResistanceOhm : LEAK_S;
  }
  stamp(stamps: Stamps): void {
    stamps.conductance(this.#a, this.#b, this.#siemens());
  }
  override guard(_x: Float64Array, s: number): number {
    return this.#motor === undefined ? 1 : this.#margin(this.#motor.angleRad(s));
  }
  override cross(): void {
    if (this.#motor !== undefined && this.#margin(this.#motor.angleRad(0)) < -5e-7) {
      this.mode = this.mode === CLOSED ? OPEN : CLOSED;
    }
  }
  currentA(x: Float64Array): number {
    return (x[this.#a]! - x[this.#b]!) * this.#siemens();
  }
  override dissipatedW(x: Float64Array): number {
    return this.currentA(x) * (x[this.#a]! - x[this.#b]!);
  }
  override state(): string {
    return this.mode === CLOSED ? 'closed' : 'opened';
  }
}

export const limit = elementKind(schema, {
  links: ({ a, b, stuck }) => [{ a, b, isAlways: stuck === 'closed' }],
  parts: (element, layout) => [new LimitPart(element, layout)],
});
