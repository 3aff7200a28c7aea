// Switch: poles that move together, open while they travel (break before make).

import type { SwitchElement } from '../netlist.js';
import type { Layout } from '../solver/layout.js';
import { LEAK_S, type Stamps } from '../solver/stamps.js';
import { Part, Timeline } from './part.js';

const TRAVELLING = 0;
/** Positions in which a switch may stand without being wired there. */
const EMPTY_POSITIONS = ['rest', 'off', 'open'];

interface Throw {
  common: number;
  node: number;
  siemens: number;
  /** By mode: 1 where this throw is closed. */
  closedIn: boolean[];
}

export class SwitchPart extends Part {
  readonly #positions: string[];
  readonly #throws: Throw[] = [];
  readonly #timeline = new Timeline();
  readonly #element: SwitchElement;
  #wanted: number;

  constructor(element: SwitchElement, layout: Layout) {
    super(element.id);
    this.#element = element;
    const wired = element.poles.flatMap((pole) => Object.keys(pole.throws));
    this.#positions = ['(travelling)', ...new Set([element.position, ...wired, ...EMPTY_POSITIONS])];
    for (const pole of element.poles) {
      for (const node of new Set(Object.values(pole.throws))) {
        this.#throws.push({
          common: layout.node(pole.common),
          node: layout.node(node),
          siemens: 1 / pole.contactResistanceOhm,
          closedIn: this.#positions.map((position) => pole.throws[position] === node),
        });
      }
    }
    this.#wanted = this.mode = this.#positions.indexOf(element.position);
  }
  stamp(stamps: Stamps): void {
    for (const t of this.#throws) stamps.conductance(t.common, t.node, this.#siemens(t));
  }
  #siemens(t: Throw): number {
    return t.closedIn[this.mode] ? t.siemens : LEAK_S;
  }
  override checkControl(state: string | boolean): string | undefined {
    const known = this.#positions.slice(1);
    return typeof state === 'string' && known.includes(state) ? undefined : `one of ${known.join(', ')}`;
  }
  override control(state: string | boolean, timeS: number): void {
    const wanted = this.#positions.indexOf(String(state));
    if (wanted === this.#wanted) return;
    this.#wanted = wanted;
    const breaksS = timeS + (this.#element.delayS ?? 0);
    this.#timeline.clear();
    this.#timeline.add(breaksS, TRAVELLING);
    this.#timeline.addClosing(breaksS + this.#element.transferS, wanted, TRAVELLING, this.#element.bounceS);
    this.timed(timeS);
  }
  override timed(timeS: number): void {
    this.mode = this.#timeline.take(timeS, this.mode);
    this.nextTimeS = this.#timeline.nextTimeS;
  }
  /** Current from the first pole's common into its throws. */
  currentA(x: Float64Array): number {
    const common = this.#throws[0]?.common;
    let sum = 0;
    for (const t of this.#throws)
      if (t.common === common) sum += (x[t.common]! - x[t.node]!) * this.#siemens(t);
    return sum;
  }
  override dissipatedW(x: Float64Array): number {
    let sum = 0;
    for (const t of this.#throws) sum += (x[t.common]! - x[t.node]!) ** 2 * this.#siemens(t);
    return sum;
  }
  override state(): string {
    return this.mode === TRAVELLING ? 'opened' : this.#positions[this.mode]!;
  }
}
