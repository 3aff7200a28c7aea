// Self-resetting cut-out in a motor, heated by the square of its current with one time constant. A bimetal snaps open
// and closes again; a PTC climbs in stages to its hot resistance and stays there while voltage is held across it.

import * as z from 'zod';
import type { Layout } from '../solver/layout.js';
import { elementKind, elementSchema, ends, positive } from './kind.js';
import { Conductor } from './two-ended.js';

/** Self-resetting cut-out inside a motor. */
const schema = elementSchema('protector', {
  ...ends,
  type: z.enum(['ptc', 'bimetal']),
  coldResistanceOhm: positive,
  tripResistanceOhm: positive,
  /** Current it carries for ever, and the trip time at twice that current. */
  holdCurrentA: positive,
  tripTimeAtDoubleS: positive,
  resetS: positive,
});
export type ProtectorElement = z.infer<typeof schema>;

/** Stages of a PTC's climb and the share of the trip time that it takes. Choice of this model, no source. */
const STAGES = 12;
const CLIMB_SHARE = 0.25;
/** Below this voltage a hot PTC cools. Value from memory. */
const HOLDING_V = 1;
/** Heat at twice the holding current goes to 4 (1 - exp(-t/tau)) and trips at 1. */
const TAU_PER_TRIP_TIME = 1 / Math.log(4 / 3);

export class ProtectorPart extends Conductor {
  override readonly hasMemory = true;
  override readonly hasGuard = true;
  readonly #tauS: number;
  /** Heat relative to the trip point. */
  #heat = 0;
  #isCooling = false;

  constructor(
    readonly element: ProtectorElement,
    layout: Layout,
  ) {
    super(element, layout);
    this.#tauS = element.tripTimeAtDoubleS * TAU_PER_TRIP_TIME;
  }
  /** Mode 0 is cold, STAGES is fully tripped. */
  protected siemens(): number {
    const { coldResistanceOhm, tripResistanceOhm } = this.element;
    return (coldResistanceOhm / tripResistanceOhm) ** (this.mode / STAGES) / coldResistanceOhm;
  }
  #heatAt(s: number): number {
    const { step } = this.layout;
    const meanSquareA2 = step.meanSquareV2(this.a, this.b, s) * this.siemens() ** 2;
    const target = meanSquareA2 / this.element.holdCurrentA ** 2;
    return target + (this.#heat - target) * Math.exp((-step.sizeS * s) / this.#tauS);
  }
  override guard(x: Float64Array, s: number): number {
    if (this.mode === 0) return 1 - (s === 0 ? this.#heat : this.#heatAt(s));
    if (this.element.type === 'bimetal' || this.mode < STAGES) return 1;
    const overV = Math.abs(this.acrossV(x)) - HOLDING_V;
    return this.#isCooling ? -overV : overV;
  }
  override cross(_x: Float64Array, timeS: number): void {
    const { type, resetS } = this.element;
    if (this.mode === 0) {
      this.mode = type === 'bimetal' ? STAGES : 1;
      this.nextTimeS = timeS + (type === 'bimetal' ? resetS : this.#stageS());
      return;
    }
    this.#isCooling = !this.#isCooling;
    this.nextTimeS = this.#isCooling ? timeS + resetS : Number.POSITIVE_INFINITY;
  }
  #stageS(): number {
    return (this.element.tripTimeAtDoubleS * CLIMB_SHARE) / STAGES;
  }
  override timed(timeS: number): void {
    if (this.mode < STAGES) {
      this.mode++;
      this.nextTimeS = this.mode < STAGES ? timeS + this.#stageS() : Number.POSITIVE_INFINITY;
      return;
    }
    this.mode = 0;
    this.#heat = 0;
    this.#isCooling = false;
    this.nextTimeS = Number.POSITIVE_INFINITY;
  }
  override commit(s: number): void {
    if (this.mode === 0) this.#heat = this.#heatAt(s);
  }
  override state(): string {
    return this.mode === 0 ? 'reset' : 'tripped';
  }
}

export const protector = elementKind(schema, {
  parts: (element, layout) => [new ProtectorPart(element, layout)],
});
