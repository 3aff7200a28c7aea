// One contact: a resistance when closed, a leak when open, with delays, bounce and sticking.

import { z } from 'zod';
import type { Layout } from '../solver/layout.js';
import { LEAK_S, type Stamps } from '../solver/stamps.js';
import { bounces, elementKind, elementSchema, ends, nonNegative, positive } from './kind.js';
import { Part, Timeline } from './part.js';

/** A contact operated by `control` (scheduled by name) with its own delay. */
const schema = elementSchema('contact', {
  ...ends,
  /** State before any control arrives. */
  closed: z.boolean(),
  contactResistanceOhm: positive,
  /** Delay from control to closing or opening. */
  closeDelayS: nonNegative,
  openDelayS: nonNegative,
  bounceS: bounces.optional(),
  /** A welded contact stays closed, a dead one never closes. */
  stuck: z.enum(['closed', 'open']).optional(),
});
export type ContactElement = z.infer<typeof schema>;

const OPEN = 0;
const CLOSED = 1;

export class ContactPart extends Part {
  readonly #a: number;
  readonly #b: number;
  readonly #element: ContactElement;
  readonly #timeline = new Timeline();
  #wanted: number;

  constructor(element: ContactElement, layout: Layout) {
    super(element.id);
    this.#element = element;
    this.#a = layout.node(element.a);
    this.#b = layout.node(element.b);
    this.#wanted = element.closed ? CLOSED : OPEN;
    this.mode = element.stuck === 'closed' ? CLOSED : element.stuck === 'open' ? OPEN : this.#wanted;
  }
  #siemens(): number {
    return this.mode === CLOSED ? 1 / this.#element.contactResistanceOhm : LEAK_S;
  }
  stamp(stamps: Stamps): void {
    stamps.conductance(this.#a, this.#b, this.#siemens());
  }
  override checkControl(state: string | boolean): string | undefined {
    return typeof state === 'boolean' || state === 'closed' || state === 'open'
      ? undefined
      : 'true (closed), false (open)';
  }
  override control(state: string | boolean, timeS: number): void {
    const wanted = state === true || state === 'closed' ? CLOSED : OPEN;
    if (wanted === this.#wanted || this.#element.stuck) return;
    this.#wanted = wanted;
    this.#timeline.clear();
    if (wanted === OPEN) this.#timeline.add(timeS + this.#element.openDelayS, OPEN);
    else {
      const closesS = timeS + this.#element.closeDelayS;
      this.#timeline.addClosing(closesS, CLOSED, OPEN, this.#element.bounceS);
    }
    this.timed(timeS);
  }
  override timed(timeS: number): void {
    this.mode = this.#timeline.take(timeS, this.mode);
    this.nextTimeS = this.#timeline.nextTimeS;
  }
  currentA(x: Float64Array): number {
    return (x[this.#a]! - x[this.#b]!) * this.#siemens();
  }
  override dissipatedW(x: Float64Array): number {
    return this.currentA(x) * (x[this.#a]! - x[this.#b]!);
  }
  override state(): string {
    return this.mode === CLOSED ? 'closed' : 'opened';
  }
}

export const contact = elementKind(schema, {
  links: ({ a, b, stuck }) => [{ a, b, isAlways: stuck === 'closed' }],
  parts: (element, layout) => [new ContactPart(element, layout)],
});
