// Capacitor: i = C d(v(a) - v(b))/dt, with its current as an unknown so that every node row stays free of derivatives.

import type * as z from 'zod';
import type { Layout } from '../solver/layout.js';
import type { Stamps } from '../solver/stamps.js';
import { anyNumber, elementKind, elementSchema, ends, positive } from './kind.js';
import { Branch } from './two-ended.js';

const schema = elementSchema('capacitor', {
  ...ends,
  capacitanceF: positive,
  initialVoltageV: anyNumber.optional(),
});
export type CapacitorElement = z.infer<typeof schema>;

export class CapacitorPart extends Branch {
  readonly #capacitanceF: number;

  constructor(element: Omit<CapacitorElement, 'kind'>, layout: Layout) {
    super(element, 'derivative', layout);
    const { capacitanceF, initialVoltageV = 0 } = element;
    this.#capacitanceF = capacitanceF;
    layout.expectVoltage(initialVoltageV);
    layout.differential(this.current, capacitanceF, capacitanceF * initialVoltageV);
  }
  override stamp(stamps: Stamps): void {
    super.stamp(stamps);
    stamps.derivative(this.current, this.a, this.#capacitanceF);
    stamps.derivative(this.current, this.b, -this.#capacitanceF);
    stamps.add(this.current, this.current, -1);
  }
  override storedJ(x: Float64Array): number {
    return (this.#capacitanceF * this.acrossV(x) ** 2) / 2;
  }
}

export const capacitor = elementKind(schema, {
  parts: (element, layout) => [new CapacitorPart(element, layout)],
});
