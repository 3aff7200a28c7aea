// Inductor: L di/dt = v(a) - v(b).

import type { z } from 'zod';
import type { Layout } from '../solver/layout.js';
import type { Stamps } from '../solver/stamps.js';
import { anyNumber, elementKind, elementSchema, ends, positive } from './kind.js';
import { Part } from './part.js';

const schema = elementSchema('inductor', {
  ...ends,
  inductanceH: positive,
  initialCurrentA: anyNumber.optional(),
});
export type InductorElement = z.infer<typeof schema>;

export class InductorPart extends Part {
  readonly #a: number;
  readonly #b: number;
  readonly #current: number;
  readonly #inductanceH: number;

  constructor(element: InductorElement, layout: Layout) {
    super(element.id);
    this.#a = layout.node(element.a);
    this.#b = layout.node(element.b);
    this.#current = layout.unknown(`current of ${element.id}`, 'current');
    this.#inductanceH = element.inductanceH;
    layout.differential(
      this.#current,
      element.inductanceH,
      element.inductanceH * (element.initialCurrentA ?? 0),
    );
  }
  stamp(stamps: Stamps): void {
    stamps.branch(this.#a, this.#b, this.#current);
    stamps.derivative(this.#current, this.#current, this.#inductanceH);
    stamps.add(this.#current, this.#a, -1);
    stamps.add(this.#current, this.#b, 1);
  }
  currentA(x: Float64Array): number {
    return x[this.#current]!;
  }
  override storedJ(x: Float64Array): number {
    return (this.#inductanceH * x[this.#current]! ** 2) / 2;
  }
}

export const inductor = elementKind(schema, {
  links: ({ a, b }) => [{ a, b, isInductive: true }],
  parts: (element, layout) => [new InductorPart(element, layout)],
});
