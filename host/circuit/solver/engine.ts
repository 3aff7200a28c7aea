// The solver's loop: steps ahead, cuts the step at the first event, settles the circuit in its new mode, goes on.
// A held step may be cut anywhere before its end as long as nobody has read past the cut.

import { sampleAt } from '../../arrays/index.js';
import type { Part } from '../elements/part.js';
import type { CircuitEvent, TransientOptions } from '../transient.js';
import { Crossing, GUARD_MARGIN } from './crossing.js';
import type { Layout } from './layout.js';
import { Ledger } from './ledger.js';
import { type Mode, SETTLE_S } from './modes.js';
import { noConvergence, Settling } from './settling.js';
import { TrBdf2 } from './tr-bdf2.js';
import { Weights } from './weights.js';

/** Events in a row with no time between them before the circuit is said to chatter. */
const MOST_INSTANT_EVENTS = 400;
/** Shortest steps in a row that may miss the tolerance. */
const MOST_FORCED_STEPS = 20;
/** A step after an event changes no state by more than about this share of its peak. */
const FIRST_STEP_SHARE = 0.05;

export interface PendingControl {
  atS: number;
  part: Part;
  state: string | boolean;
}

/** An inductance left with nothing but the leak of open contacts decays in some 1e-11 s, which steps must resolve. */
const SMALLEST_STEP_S = 1e-13;

export class Engine {
  readonly ledger: Ledger;
  readonly events: CircuitEvent[] = [];
  /** Up to here the held step counts. */
  endS = 0;
  endsInEvent = false;
  steps = 0;
  readonly #controls: PendingControl[] = [];
  readonly #weights: Weights;
  readonly #stepper: TrBdf2;
  readonly #crossing: Crossing;
  readonly #settling: Settling;
  readonly #guarded: Part[];
  readonly #remembering: Part[];
  readonly #limiting: Part[];
  readonly #before: Float64Array;
  readonly #labels: string[];
  readonly #highestLevel: number;
  readonly #lowestLevel: number;
  #mode!: Mode;
  #level = -20;
  #instantEvents = 0;
  #forcedSteps = 0;
  #lastEventS = -1;
  /** A control that came for an instant already settled, such as time 0: from there the held step does not count. */
  #overdueS = Number.POSITIVE_INFINITY;

  constructor(
    readonly parts: readonly Part[],
    readonly layout: Layout,
    options: TransientOptions,
  ) {
    layout.step.resize(layout.length);
    this.ledger = new Ledger(parts, layout, options.keepsEnergy);
    this.#weights = new Weights(layout, options.relativeTolerance ?? 5e-5);
    this.#stepper = new TrBdf2(parts, layout, this.#weights);
    this.#crossing = new Crossing(parts, layout);
    this.#settling = new Settling(parts, layout, this.#stepper, this.ledger);
    this.#guarded = parts.filter((part) => part.hasGuard);
    this.#remembering = parts.filter((part) => part.hasMemory);
    this.#limiting = parts.filter((part) => part.limitsStep);
    this.#before = new Float64Array(layout.length);
    this.#labels = parts.map((part) => part.state());
    this.#highestLevel = Math.floor(Math.log2(options.maximumStepS ?? 0.0625));
    this.#lowestLevel = Math.ceil(Math.log2(options.minimumStepS ?? SMALLEST_STEP_S));
    this.#stepper.e0.set(layout.initial);
    for (const part of parts) if (part.nextTimeS <= 0) part.timed(0);
    this.#settle(0);
    this.#step();
  }

  /** Queues a control and cuts the held step where it falls. */
  control(control: PendingControl): void {
    this.#controls.splice(this.#controls.findLastIndex(({ atS }) => atS <= control.atS) + 1, 0, control);
    if (control.atS > this.endS) return;
    const { startS } = this.layout.step;
    this.endS = Math.max(control.atS, startS);
    this.endsInEvent = true;
    if (control.atS < startS) this.#overdueS = Math.min(this.#overdueS, control.atS);
  }

  /** Holds a step that reaches `toS`, with every event up to and including it done. */
  advance(toS: number): void {
    while (!this.reaches(toS)) {
      this.#finish();
      this.#step();
    }
  }

  /** Whether the held step shows the circuit at `timeS` without going on. */
  reaches(timeS: number): boolean {
    if (timeS >= this.#overdueS) return false;
    return timeS < this.endS || (timeS === this.endS && !this.endsInEvent);
  }

  /** Fraction of the held step at `timeS`. */
  fraction(timeS: number): number {
    const { startS, sizeS } = this.layout.step;
    return Math.min(1, Math.max(0, (timeS - startS) / sizeS));
  }

  /** Commits the held step up to its end and does the events there. */
  #finish(): void {
    const { step } = this.layout;
    const s = this.endsInEvent ? this.fraction(this.endS) : 1;
    this.ledger.book(s);
    for (const part of this.#remembering) part.commit(s, this.endS);
    this.steps++;
    if (!this.endsInEvent) {
      step.startS = this.endS;
      step.x0.set(step.x1);
      this.#weights.raise(step.x0);
      this.#stepper.adopt();
      return;
    }
    step.fill(this.#before, s);
    step.x0.set(this.#before);
    this.#weights.raise(step.x0);
    step.startS = this.endS;
    step.sizeS = 0;
    this.#stepper.multiply(this.#mode, step.x0, this.#stepper.e0);
    this.#overdueS = Number.POSITIVE_INFINITY;
    this.#happen(this.endS);
    this.#settle(this.endS);
  }

  #happen(timeS: number): void {
    const { step } = this.layout;
    for (const part of this.parts) if (part.nextTimeS <= timeS) part.timed(timeS);
    for (;;) {
      const next = this.#controls[0];
      if (next === undefined || next.atS > timeS) break;
      this.#controls.shift();
      next.part.control(next.state, timeS);
    }
    for (const part of this.#guarded) {
      if (part.guard(step.x0, 0, timeS) < -0.9 * GUARD_MARGIN) part.cross(step.x0, timeS);
    }
    this.#instantEvents = timeS - this.#lastEventS < 6 * SETTLE_S ? this.#instantEvents + 1 : 0;
    this.#lastEventS = timeS;
    if (this.#instantEvents > MOST_INSTANT_EVENTS) throw noConvergence(timeS, this.#guarded);
  }

  /** Finds the mode that holds just after `timeS` and carries the state over, in two steps: the first levels what
   * jumps (charge between capacitors, current with nowhere to go), the second finds rates that the levelling left. */
  #settle(timeS: number): void {
    this.#settling.carry(timeS);
    this.#mode = this.#settling.carry(timeS + SETTLE_S);
    this.layout.step.startS = timeS + 2 * SETTLE_S;
    this.#report(timeS);
    this.#level = this.#firstLevel();
  }

  #report(timeS: number): void {
    for (const [i, part] of this.parts.entries()) {
      const what = part.state();
      if (what === this.#labels[i]) continue;
      this.#labels[i] = what;
      if (what !== '') this.events.push({ timeS, element: part.id, what });
    }
  }

  /** A first step from the rates of change; the error test has the last word. */
  #firstLevel(): number {
    let largestS = 2 ** Math.min(this.#highestLevel, this.#level + 2);
    for (const [row, inertia] of this.layout.inertia.entries()) {
      if (inertia === 0) continue;
      const rate = Math.abs(sampleAt(this.#stepper.g0, row));
      const peak = Math.max(Math.abs(sampleAt(this.#stepper.e0, row)), this.#peak(row, inertia));
      if (rate * largestS > FIRST_STEP_SHARE * peak) largestS = (FIRST_STEP_SHARE * peak) / rate;
    }
    return Math.max(this.#lowestLevel, Math.min(this.#highestLevel, Math.floor(Math.log2(largestS))));
  }
  /** Of E x in a differential row; a capacitor's unknown is a current, so its voltage is taken as 1 V. */
  #peak(row: number, inertia: number): number {
    const kind = this.layout.kinds[row];
    if (kind === 'derivative') return inertia;
    return kind === 'flux' ? this.#weights.peak(row) : inertia * this.#weights.peak(row);
  }

  /** Takes the next step and finds where it first meets an event. */
  #step(): void {
    const { step } = this.layout;
    let bearableS = Number.POSITIVE_INFINITY;
    for (const part of this.#limiting) bearableS = Math.min(bearableS, part.largestStepS(step.x0));
    let level = Math.min(this.#level, this.#highestLevel, Math.floor(Math.log2(bearableS)));
    for (;;) {
      const error = this.#stepper.attempt(this.#mode, level);
      if (error <= 1) {
        this.#forcedSteps = 0;
        this.#level = level + (error < 0.0008 ? 3 : error < 0.008 ? 2 : error < 0.08 ? 1 : 0);
        break;
      }
      if (level <= this.#lowestLevel) {
        // What happens within the shortest step is nobody's business, as long as it passes.
        this.#forcedSteps++;
        if (!Number.isFinite(error) || this.#forcedSteps > MOST_FORCED_STEPS)
          throw noConvergence(step.startS, []);
        this.#level = level + 1;
        break;
      }
      const drop = Number.isFinite(error) ? Math.ceil(Math.log2(error * 1.3) / 3) : 2;
      level = Math.max(this.#lowestLevel, level - Math.min(8, Math.max(1, drop)));
    }
    this.#hold();
  }

  #hold(): void {
    const { step } = this.layout;
    let stopS = this.#controls[0]?.atS ?? Number.POSITIVE_INFINITY;
    for (const part of this.parts) if (part.nextTimeS < stopS) stopS = part.nextTimeS;
    const fullS = step.startS + step.sizeS;
    const isCut = stopS <= fullS;
    const last = isCut ? Math.max(1e-12, this.fraction(stopS)) : 1;
    const crossing = this.#crossing.first(last);
    this.endsInEvent = isCut || crossing <= 1;
    this.endS =
      crossing <= 1 ? step.startS + crossing * step.sizeS : isCut ? Math.max(stopS, step.startS) : fullS;
  }
}
