// Switch: poles that move together, open while they travel (break before make).

import * as z from 'zod';
import { itemAt } from '../../arrays/index.js';
import type { Layout } from '../solver/layout.js';
import { LEAK_S, type Stamps } from '../solver/stamps.js';
import { bounces, elementKind, elementSchema, node, nonNegative, positive } from './kind.js';
import { Part, Timeline } from './part.js';
import { differenceAt } from './two-ended.js';

const pole = z.strictObject({
  id: z.string(),
  common: node,
  /** By position name, the node it is closed to. Absent position = open. */
  throws: z.record(z.string(), node).readonly(),
  contactResistanceOhm: positive,
});
/** Poles move together from one named position to another; break before make with a transfer time. */
const schema = elementSchema('switch', {
  /** Position before any control arrives. */
  position: z.string(),
  poles: z.array(pole).min(1).readonly(),
  transferS: nonNegative,
  delayS: nonNegative,
  bounceS: bounces.optional(),
});
export type SwitchElement = z.infer<typeof schema>;

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
    const breaksS = timeS + this.#element.delayS;
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
      if (t.common === common) sum += differenceAt(x, t.common, t.node) * this.#siemens(t);
    return sum;
  }
  override dissipatedW(x: Float64Array): number {
    let sum = 0;
    for (const t of this.#throws) sum += differenceAt(x, t.common, t.node) ** 2 * this.#siemens(t);
    return sum;
  }
  override state(): string {
    return this.mode === TRAVELLING ? 'opened' : itemAt(this.#positions, this.mode);
  }
}

/** `element` with each pole's way to each of its nodes put through `change`. */
export const switchedTo = (
  element: SwitchElement,
  change: (node: string, pole: string) => string,
): SwitchElement => ({
  ...element,
  poles: element.poles.map((each) => ({
    ...each,
    throws: Object.fromEntries(
      Object.entries(each.throws).map(([position, to]) => [position, change(to, each.id)]),
    ),
  })),
});

export const switchKind = elementKind(schema, {
  together: ({ poles }) => {
    const wrong = poles.find(({ contactResistanceOhm }) => !(contactResistanceOhm > 0));
    return (
      wrong && {
        quantity: `contactResistanceOhm of pole ${wrong.id}`,
        value: wrong.contactResistanceOhm,
        right: 'a number above 0',
      }
    );
  },
  joinedAt: (element, change) => {
    const thrown = switchedTo(element, (to) => change(to, to));
    return {
      ...thrown,
      poles: thrown.poles.map((each) => ({ ...each, common: change(each.common, each.common) })),
    };
  },
  links: ({ poles }) =>
    poles.flatMap(({ common, throws }) =>
      Object.values(throws).map((to) => ({ a: common, b: to, isAlways: false })),
    ),
  parts: (element, layout) => [new SwitchPart(element, layout)],
});
