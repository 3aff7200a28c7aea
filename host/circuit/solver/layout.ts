// Which unknown sits where: node voltages and the extra unknowns that elements ask for. Slot 0 is ground.

import { GROUND } from '../netlist.js';
import { HeldStep } from './held-step.js';

/** Decides the peak an error is held against; `derivative` unknowns (capacitor currents) carry no error weight. */
export type UnknownKind = 'voltage' | 'current' | 'speed' | 'flux' | 'derivative';

export class Layout {
  readonly step = new HeldStep();
  readonly names: string[] = [GROUND];
  readonly kinds: UnknownKind[] = ['voltage'];
  /** L, C or J of each differential row, 0 elsewhere; stored energy of a row is (E x)^2 / 2 / inertia. */
  readonly inertia: number[] = [0];
  /** E x at time zero by row. */
  readonly initial: number[] = [0];
  /** Largest voltage that a source or charge brings, V; errors of small node voltages are held against it. */
  largestSourceV = 0;
  readonly #nodes = new Map<string, number>([[GROUND, 0]]);

  /** Slot of a node's voltage; made on first mention. */
  node(name: string): number {
    const known = this.#nodes.get(name);
    if (known !== undefined) return known;
    const slot = this.unknown(name, 'voltage');
    this.#nodes.set(name, slot);
    return slot;
  }

  /** Slot of a node already mentioned by an element, or undefined. */
  find(name: string): number | undefined {
    return this.#nodes.get(name);
  }

  /** A new unknown with its own equation row of the same number. */
  unknown(name: string, kind: UnknownKind): number {
    this.names.push(name);
    this.kinds.push(kind);
    this.inertia.push(0);
    this.initial.push(0);
    return this.names.length - 1;
  }

  /** Marks row `row` as differential with inertia L, C or J and the initial value of E x. */
  differential(row: number, inertia: number, initial: number): void {
    this.inertia[row] = inertia;
    this.initial[row] = initial;
  }

  /** Tells of a voltage that a source or an initial charge brings. */
  expectVoltage(voltageV: number): void {
    this.largestSourceV = Math.max(this.largestSourceV, Math.abs(voltageV));
  }

  get length(): number {
    return this.names.length;
  }
}
