// Carries the circuit over an event: which mode holds just after, and the state in it.

import { itemAt, sampleAt } from '../../arrays/index.js';
import { significant } from '../../tell/index.js';
import type { Part } from '../elements/part.js';
import { CircuitError } from '../transient.js';
import { GUARD_MARGIN } from './crossing.js';
import type { Layout } from './layout.js';
import type { Ledger } from './ledger.js';
import { type Mode, Modes, SETTLE_S } from './modes.js';
import type { TrBdf2 } from './tr-bdf2.js';

/** A jump may be a million million times what meets a guard first. */
const LINE_HALVINGS = 40;

export class Settling {
  readonly #modes: Modes;
  readonly #guarded: Part[];
  readonly #from: Float64Array;
  readonly #between: Float64Array;
  readonly #mostRounds: number;

  constructor(
    parts: readonly Part[],
    readonly layout: Layout,
    readonly stepper: TrBdf2,
    readonly ledger: Ledger,
  ) {
    this.#modes = new Modes(parts, layout);
    this.#guarded = parts.filter((part) => part.hasGuard);
    this.#from = new Float64Array(layout.length);
    this.#between = new Float64Array(layout.length);
    this.#mostRounds = 20 + 6 * parts.length;
  }

  /**
   * Takes x0 over SETTLE_S from `timeS` and returns the mode that holds there. Follows the straight line from the state
   * before to the state that the mode would give, leaves the mode at the first guard that the line meets, and goes on
   * from there. Ends for monotone piecewise-linear networks, which diodes, clamps and friction make: Katzenelson, Bell
   * Syst. Tech. J. 44 (1965) 1605.
   * @throws CircuitError when no mode holds.
   */
  carry(timeS: number): Mode {
    const x = this.layout.step.x0;
    const from = this.#from;
    from.set(x);
    for (let round = 0; ; round++) {
      const mode = this.#modes.present(this.#modes.key());
      this.stepper.settle(mode, timeS, x);
      const wrong = this.#guarded.filter((part) => part.guard(x, 0, timeS) < -GUARD_MARGIN);
      if (wrong.length === 0) {
        this.ledger.bookSettling(x, timeS, SETTLE_S, this.stepper.e0, this.stepper.e1);
        this.stepper.adopt();
        return mode;
      }
      if (round > this.#mostRounds) throw noConvergence(timeS, wrong);
      let first = itemAt(wrong, 0);
      let reach = 1;
      for (const part of wrong) {
        const meets = this.#meets(part, x, timeS);
        if (meets >= reach) continue;
        first = part;
        reach = meets;
      }
      this.#onTheWay(x, reach, from);
      first.cross(x, timeS);
    }
  }

  /** What lies at `fraction` of the line to `to`, into `out`. */
  #onTheWay(to: Float64Array, fraction: number, out: Float64Array): void {
    for (let i = 1; i < out.length; i++) {
      const start = sampleAt(this.#from, i);
      out[i] = start + fraction * (sampleAt(to, i) - start);
    }
  }

  /** Fraction of the line to `to` at which the part's guard becomes void. */
  #meets(part: Part, to: Float64Array, timeS: number): number {
    let good = 0;
    let bad = 1;
    for (let halving = 0; halving < LINE_HALVINGS; halving++) {
      const middle = (good + bad) / 2;
      this.#onTheWay(to, middle, this.#between);
      if (part.guard(this.#between, 0, timeS) < -GUARD_MARGIN) bad = middle;
      else good = middle;
    }
    return bad;
  }
}

/** The error of a solver that cannot go on at `timeS` because of `parts`, or of its step when there are none. */
export function noConvergence(timeS: number, parts: readonly Part[]): CircuitError {
  const elements = parts.map((part) => part.id);
  const who = elements.length > 0 ? `${elements.join(', ')} cannot settle` : 'the step became too small';
  return new CircuitError({
    code: 'no-convergence',
    sentence: `The solution stops at ${significant(timeS, 6, 's')}: ${who}. Check the values and connections there.`,
    nodes: [],
    elements,
  });
}
