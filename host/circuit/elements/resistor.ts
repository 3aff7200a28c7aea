// Resistor, and everything that is one in the matrix (wire, closed fuse).

import { awgAreaMm2, COPPER_RESISTIVITY_OHM_MM2_PER_M, copperFactor } from '../copper.js';
import type { ResistorElement, WireElement } from '../netlist.js';
import type { Layout } from '../solver/layout.js';
import type { Stamps } from '../solver/stamps.js';
import { Part } from './part.js';

export class ResistorPart extends Part {
  readonly #a: number;
  readonly #b: number;
  readonly #siemens: number;

  constructor(id: string, a: string, b: string, resistanceOhm: number, layout: Layout) {
    super(id);
    this.#a = layout.node(a);
    this.#b = layout.node(b);
    this.#siemens = 1 / resistanceOhm;
  }
  stamp(stamps: Stamps): void {
    stamps.conductance(this.#a, this.#b, this.#siemens);
  }
  currentA(x: Float64Array): number {
    return (x[this.#a]! - x[this.#b]!) * this.#siemens;
  }
  override dissipatedW(x: Float64Array): number {
    const voltageV = x[this.#a]! - x[this.#b]!;
    return voltageV * voltageV * this.#siemens;
  }
}

export function resistorPart(element: ResistorElement, layout: Layout): Part {
  return new ResistorPart(element.id, element.a, element.b, element.resistanceOhm, layout);
}

export function wirePart(element: WireElement, layout: Layout): Part {
  return new ResistorPart(element.id, element.a, element.b, wireResistanceOhm(element), layout);
}

/** Resistance of a copper wire by length, cross-section or AWG size, and temperature. */
export function wireResistanceOhm(
  wire: Pick<WireElement, 'lengthM' | 'areaMm2' | 'awg' | 'temperatureC'>,
): number {
  const areaMm2 = wire.areaMm2 ?? awgAreaMm2(wire.awg!);
  return ((COPPER_RESISTIVITY_OHM_MM2_PER_M * wire.lengthM) / areaMm2) * copperFactor(20, wire.temperatureC);
}
