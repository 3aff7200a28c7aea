// Inductor: L di/dt = v(a) - v(b).

import type * as z from 'zod';
import type { Layout } from '../solver/layout.js';
import type { Stamps } from '../solver/stamps.js';
import { anyNumber, elementKind, elementSchema, ends, positive } from './kind.js';
import { Branch } from './two-ended.js';

const schema = elementSchema('inductor', {
  ...ends,
  inductanceH: positive,
  initialCurrentA: anyNumber.optional(),
});
export type InductorElement = z.infer<typeof schema>;

export class InductorPart extends Branch {
  readonly #inductanceH: number;

  constructor(element: InductorElement, layout: Layout) {
    super(element, 'current', layout);
    const { inductanceH, initialCurrentA = 0 } = element;
    this.#inductanceH = inductanceH;
    layout.differential(this.current, inductanceH, inductanceH * initialCurrentA);
  }
  override stamp(stamps: Stamps): void {
    super.stamp(stamps);
    stamps.derivative(this.current, this.current, this.#inductanceH);
    stamps.add(this.current, this.a, -1);
    stamps.add(this.current, this.b, 1);
  }
  override storedJ(x: Float64Array): number {
    return (this.#inductanceH * this.currentA(x) ** 2) / 2;
  }
}

export const inductor = elementKind(schema, {
  links: ({ a, b }) => [{ a, b, isInductive: true }],
  parts: (element, layout) => [new InductorPart(element, layout)],
});
