// Piecewise-linear diode and clamp: a threshold and a slope each way, a leak between. The pieces join, so that the
// current rises with the voltage everywhere.

import type * as z from 'zod';
import type { Layout } from '../solver/layout.js';
import { LEAK_S, type Stamps } from '../solver/stamps.js';
import { elementKind, elementSchema, node, nonNegative, positive } from './kind.js';
import { TwoEnded } from './two-ended.js';

const threshold = {
  anode: node,
  cathode: node,
  forwardVoltageV: nonNegative,
  onResistanceOhm: positive,
};
const diodeSchema = elementSchema('diode', threshold);
/** Conducts forward like a diode, backward above clampVoltageV. */
const clampSchema = elementSchema('clamp', { ...threshold, clampVoltageV: positive });
export type DiodeElement = z.infer<typeof diodeSchema>;
export type ClampElement = z.infer<typeof clampSchema>;

const BLOCKS = 0;
const FORWARD = 1;
const BACKWARD = 2;
/** A conducting piece ends within 1e-8 A of its threshold, a millionth of this: what an inductance then still drives
 * makes 1 V across the leak and not the opposite threshold. Choice of this solver. */
const CURRENT_UNIT_A = LEAK_S / 1e-6;

export class ThresholdPart extends TwoEnded {
  override readonly hasGuard = true;
  readonly #forwardV: number;
  readonly #backwardV: number;
  readonly #onSiemens: number;

  /** `backwardV` is infinite for a plain diode. */
  constructor(element: Omit<DiodeElement, 'kind'>, backwardV: number, layout: Layout) {
    super({ id: element.id, a: element.anode, b: element.cathode }, layout);
    this.#forwardV = element.forwardVoltageV;
    this.#backwardV = backwardV;
    this.#onSiemens = 1 / element.onResistanceOhm;
  }
  #thresholdV(): number {
    return this.mode === FORWARD ? this.#forwardV : this.mode === BACKWARD ? -this.#backwardV : 0;
  }
  stamp(stamps: Stamps): void {
    const siemens = this.mode === BLOCKS ? LEAK_S : this.#onSiemens;
    stamps.conductance(this.a, this.b, siemens);
    if (this.mode === BLOCKS) return;
    stamps.injection(this.a, this.b, (LEAK_S - siemens) * this.#thresholdV());
  }
  override guard(x: Float64Array): number {
    const voltageV = this.acrossV(x);
    const unitV = CURRENT_UNIT_A / this.#onSiemens;
    if (this.mode === FORWARD) return (voltageV - this.#forwardV) / unitV;
    if (this.mode === BACKWARD) return (-this.#backwardV - voltageV) / unitV;
    return Math.min(this.#forwardV - voltageV, this.#backwardV + voltageV);
  }
  override cross(x: Float64Array): void {
    if (this.mode !== BLOCKS) this.mode = BLOCKS;
    else this.mode = this.acrossV(x) > 0 ? FORWARD : BACKWARD;
  }
  currentA(x: Float64Array): number {
    const voltageV = this.acrossV(x);
    if (this.mode === BLOCKS) return LEAK_S * voltageV;
    return this.#onSiemens * (voltageV - this.#thresholdV()) + LEAK_S * this.#thresholdV();
  }
  override dissipatedW(x: Float64Array): number {
    return this.currentA(x) * this.acrossV(x);
  }
  override state(): string {
    return this.mode === BLOCKS ? 'blocks' : this.mode === FORWARD ? 'conducts' : 'clamps';
  }
}

export const diode = elementKind(diodeSchema, {
  parts: (element, layout) => [new ThresholdPart(element, Number.POSITIVE_INFINITY, layout)],
});
export const clamp = elementKind(clampSchema, {
  parts: (element, layout) => [new ThresholdPart(element, element.clampVoltageV, layout)],
});
