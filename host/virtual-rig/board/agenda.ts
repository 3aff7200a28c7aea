// Which peripheral acts next, and at which CPU cycle. A handful of fixed places, so nothing is allocated while running.

import { itemAt } from '../../arrays/index.js';

const NEVER = Number.POSITIVE_INFINITY;

export class Agenda {
  /** Cycle of the earliest appointment; infinite when there is none. */
  next = NEVER;
  private readonly due: number[] = [];
  private readonly actions: (() => void)[] = [];

  /** A place of its own for one peripheral; returns its number. */
  register(action: () => void): number {
    this.due.push(NEVER);
    return this.actions.push(action) - 1;
  }

  set(place: number, cycle: number): void {
    const before = itemAt(this.due, place);
    this.due[place] = cycle;
    if (cycle < this.next) this.next = cycle;
    else if (before === this.next) this.findNext();
  }

  cancel(place: number): void {
    this.set(place, NEVER);
  }

  /** Carries out everything due at `cycle` or before, earliest first. */
  run(cycle: number): void {
    while (this.next <= cycle) {
      const place = this.due.indexOf(this.next);
      this.due[place] = NEVER;
      this.findNext();
      itemAt(this.actions, place)();
    }
  }

  clear(): void {
    this.due.fill(NEVER);
    this.next = NEVER;
  }

  private findNext(): void {
    let next = NEVER;
    for (const cycle of this.due) if (cycle < next) next = cycle;
    this.next = next;
  }
}
