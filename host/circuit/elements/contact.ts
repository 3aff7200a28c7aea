// One contact: a resistance when closed, a leak when open, with delays, bounce and sticking.

import * as z from 'zod';
import type { Layout } from '../solver/layout.js';
import { bounces, elementKind, elementSchema, ends, nonNegative, positive } from './kind.js';
import { Timeline } from './part.js';
import { CLOSED, Interrupter, OPEN } from './two-ended.js';

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

export class ContactPart extends Interrupter {
  readonly #element: ContactElement;
  readonly #timeline = new Timeline();
  #wanted: number;

  constructor(element: ContactElement, layout: Layout) {
    super(element, element.contactResistanceOhm, layout);
    this.#element = element;
    this.#wanted = element.closed ? CLOSED : OPEN;
    this.mode = element.stuck === 'closed' ? CLOSED : element.stuck === 'open' ? OPEN : this.#wanted;
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
}

export const contact = elementKind(schema, {
  links: ({ a, b, stuck }) => [{ a, b, isAlways: stuck === 'closed' }],
  parts: (element, layout) => [new ContactPart(element, layout)],
});
