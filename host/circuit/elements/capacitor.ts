// Capacitor: i = C d(v(a) - v(b))/dt, with its current as an unknown so that every node row stays free of derivatives.

import type { z } from 'zod';
import type { Layout } from '../solver/layout.js';
import type { Stamps } from '../solver/stamps.js';
import { anyNumber, elementKind, elementSchema, ends, positive } from './kind.js';
import { Part } from './part.js';

const schema = elementSchema('capacitor', {
  ...ends,
  capacitanceF: positive,
  initialVoltageV: anyNumber.optional(),
});
export type CapacitorElement = z.infer<typeof schema>;

export class CapacitorPart extends Part {
  readonly #a: number;
  readonly #b: number;
  readonly #current: number;
  readonly #capacitanceF: number;

  constructor(element: Omit<CapacitorElement, 'kind'>, layout: Layout) {
    super(element.id);
    this.#a = layout.node(element.a);
    this.#b = layout.node(element.b);
    this.#current = layout.unknown(`current of ${element.id}`, 'derivative');
    this.#capacitanceF = element.capacitanceF;
    layout.expectVoltage(element.initialVoltageV ?? 0);
    layout.differential(
      this.#current,
      element.capacitanceF,
      element.capacitanceF * (element.initialVoltageV ?? 0),
    );
  }
  stamp(stamps: Stamps): void {
    stamps.branch(this.#a, this.#b, this.#current);
    stamps.derivative(this.#current, this.#a, this.#capacitanceF);
    stamps.derivative(this.#current, this.#b, -this.#capacitanceF);
    stamps.add(this.#current, this.#current, -1);
  }
  currentA(x: Float64Array): number {
    return x[this.#current]!;
  }
  override storedJ(x: Float64Array): number {
    return (this.#capacitanceF * (x[this.#a]! - x[this.#b]!) ** 2) / 2;
  }
}

export const capacitor = elementKind(schema, {
  parts: (element, layout) => [new CapacitorPart(element, layout)],
});
