// Inductor: L di/dt = v(a) - v(b).

import type { InductorElement } from '../netlist.js';
import type { Layout } from '../solver/layout.js';
import type { Stamps } from '../solver/stamps.js';
import { Part } from './part.js';

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
