// What elements between two nodes have in common. Current counts as positive from `a` through them.

import { sampleAt } from '../../arrays/index.js';
import type { Layout, UnknownKind } from '../solver/layout.js';
import { LEAK_S, type Stamps } from '../solver/stamps.js';
import { Part } from './part.js';

interface Ends {
  id: string;
  a: string;
  b: string;
}

export const differenceAt = (x: Float64Array, plus: number, minus: number): number =>
  sampleAt(x, plus) - sampleAt(x, minus);

export abstract class TwoEnded extends Part {
  protected readonly a: number;
  protected readonly b: number;

  constructor(
    { id, a, b }: Ends,
    protected readonly layout: Layout,
  ) {
    super(id);
    this.a = layout.node(a);
    this.b = layout.node(b);
  }
  protected acrossV(x: Float64Array): number {
    return differenceAt(x, this.a, this.b);
  }
}

/** A conductance that its mode decides. */
export abstract class Conductor extends TwoEnded {
  protected abstract siemens(): number;

  stamp(stamps: Stamps): void {
    stamps.conductance(this.a, this.b, this.siemens());
  }
  currentA(x: Float64Array): number {
    return this.acrossV(x) * this.siemens();
  }
  override dissipatedW(x: Float64Array): number {
    return this.acrossV(x) ** 2 * this.siemens();
  }
}

export const OPEN = 0;
export const CLOSED = 1;

/** A resistance while closed, a leak while open. */
export abstract class Interrupter extends Conductor {
  constructor(
    ends: Ends,
    readonly closedOhm: number,
    layout: Layout,
  ) {
    super(ends, layout);
  }
  protected siemens(): number {
    return this.mode === CLOSED ? 1 / this.closedOhm : LEAK_S;
  }
  override state(): string {
    return this.mode === CLOSED ? 'closed' : 'opened';
  }
}

/** Has its current as an unknown, with an equation of its own. */
export abstract class Branch extends TwoEnded {
  protected readonly current: number;

  constructor(ends: Ends, kind: UnknownKind, layout: Layout) {
    super(ends, layout);
    this.current = layout.unknown(`current of ${ends.id}`, kind);
  }
  stamp(stamps: Stamps): void {
    stamps.branch(this.a, this.b, this.current);
  }
  currentA(x: Float64Array): number {
    return sampleAt(x, this.current);
  }
}
