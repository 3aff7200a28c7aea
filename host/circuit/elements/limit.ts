// Limit switch: a contact that a motor's travel opens and closes again.

import * as z from 'zod';
import type { Layout } from '../solver/layout.js';
import { anyNumber, elementKind, elementSchema, ends, positive } from './kind.js';
import type { MotorPart } from './motor.js';
import { CLOSED, Interrupter, OPEN } from './two-ended.js';

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

/** Travel back before the contact closes again, rad at the armature. Choice of this model, no source. */
const HYSTERESIS_RAD = 0.5;

export class LimitPart extends Interrupter {
  override readonly hasGuard: boolean;
  #motor: MotorPart | undefined;

  constructor(
    readonly element: LimitElement,
    layout: Layout,
  ) {
    super(element, element.contactResistanceOhm, layout);
    this.hasGuard = element.stuck === undefined;
    this.mode = element.stuck === 'open' ? OPEN : CLOSED;
  }
  watch(motor: MotorPart): void {
    this.#motor = motor;
  }
  /** Travel left before the contact changes over, rad. */
  #margin(angleRad: number): number {
    const { opensAboveRad = Number.POSITIVE_INFINITY, opensBelowRad = Number.NEGATIVE_INFINITY } =
      this.element;
    const insideRad = Math.min(opensAboveRad - angleRad, angleRad - opensBelowRad);
    return this.mode === CLOSED ? insideRad : HYSTERESIS_RAD - insideRad;
  }
  override guard(_x: Float64Array, s: number): number {
    return this.#motor === undefined ? 1 : this.#margin(this.#motor.angleRad(s));
  }
  override cross(): void {
    if (this.#motor !== undefined && this.#margin(this.#motor.angleRad(0)) < -5e-7) {
      this.mode = this.mode === CLOSED ? OPEN : CLOSED;
    }
  }
}

export const limit = elementKind(schema, {
  links: ({ a, b, stuck }) => [{ a, b, isAlways: stuck === 'closed' }],
  parts: (element, layout) => [new LimitPart(element, layout)],
});
