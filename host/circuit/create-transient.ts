// The solver's face made real: checks a netlist, compiles it and answers the questions of transient.ts.

import { sampleAt } from '../arrays/index.js';
import { badValue, compileProbe, partOf } from './compile-probe.js';
import { kindOf } from './elements/index.js';
import { LimitPart } from './elements/limit.js';
import { MotorPart } from './elements/motor.js';
import type { Part } from './elements/part.js';
import type { ControlSetting, Netlist, Probe } from './netlist.js';
import { Engine } from './solver/engine.js';
import { GAMMA, Quadratic } from './solver/held-step.js';
import { Layout } from './solver/layout.js';
import { checkTopology } from './topology.js';
import type { CircuitEvent, Transient, TransientOptions } from './transient.js';
import { checkValues } from './values.js';

export class CompiledTransient implements Transient {
  #timeS = 0;
  readonly #engine: Engine;
  readonly #layout = new Layout();
  readonly #byId: ReadonlyMap<string, Part>;
  readonly #x: Float64Array;
  #isFilled = false;

  constructor(netlist: Netlist, options: TransientOptions) {
    checkValues(netlist);
    checkTopology(netlist);
    const parts = netlist.elements.flatMap((element) => kindOf(element).parts(element, this.#layout));
    this.#byId = new Map(parts.map((part) => [part.id, part]));
    for (const part of parts) {
      if (!(part instanceof LimitPart)) continue;
      const motor = partOf(this.#byId, part.element.motor);
      if (!(motor instanceof MotorPart))
        throw badValue(`${part.id} is opened by ${motor.id}, which has no shaft: name a motor.`, part.id);
      part.watch(motor);
    }
    this.#engine = new Engine(parts, this.#layout, options);
    this.#x = new Float64Array(this.#layout.length);
  }
  get timeS(): number {
    return this.#timeS;
  }
  get steps(): number {
    return this.#engine.steps;
  }
  control(atS: number, settings: readonly ControlSetting[]): void {
    if (!(atS >= this.#timeS))
      throw new RangeError(`control: atS ${atS} lies before the present time ${this.#timeS} s`);
    for (const { element, state } of settings) {
      const part = partOf(this.#byId, element);
      const allowed = part.checkControl(state);
      if (allowed !== undefined)
        throw badValue(`${element} cannot be set to ${state}: use ${allowed}.`, element);
      this.#engine.control({ atS, part, state });
    }
  }
  advance(toS: number): void {
    if (!(toS >= this.#timeS))
      throw new RangeError(`advance: toS ${toS} lies before the present time ${this.#timeS} s`);
    this.#engine.advance(toS);
    this.#timeS = toS;
    this.#isFilled = false;
  }
  /** The unknowns at the present time. */
  #present(): Float64Array {
    if (!this.#isFilled) {
      this.#layout.step.fill(this.#x, this.#engine.fraction(this.#timeS));
      this.#isFilled = true;
    }
    return this.#x;
  }
  reader(probe: Probe): () => number {
    const { at } = compileProbe(probe, this.#byId, this.#layout);
    return () => at(this.#present(), this.#engine.fraction(this.#timeS), this.#timeS);
  }
  /** Fills the columns with their probes at the times `timesS`; leaves the transient at the last. */
  sample(timesS: Float64Array, columns: readonly { probe: Probe; values: Float64Array }[]): void {
    const compiled = columns.map(({ probe, values }) => ({
      column: values,
      ...compileProbe(probe, this.#byId, this.#layout),
    }));
    const fractions = new Float64Array(timesS.length);
    const { step } = this.#layout;
    for (let from = 0; from < timesS.length; ) {
      this.advance(sampleAt(timesS, from));
      let to = from + 1;
      while (to < timesS.length && this.#engine.reaches(sampleAt(timesS, to))) to++;
      for (let k = from; k < to; k++) fractions[k] = this.#engine.fraction(sampleAt(timesS, k));
      for (const { at, isAffine, column } of compiled) {
        // Within a step every unknown is one quadratic, and so is what depends on them without curve.
        if (isAffine && to - from > 3) {
          const middleS = step.startS + GAMMA * step.sizeS;
          const start = at(step.x0, 0, step.startS);
          const middle = at(step.xg, GAMMA, middleS);
          const end = at(step.x1, 1, step.startS + step.sizeS);
          new Quadratic(start, middle, end).fill(column, fractions, from, to);
          continue;
        }
        for (let k = from; k < to; k++) {
          this.#timeS = sampleAt(timesS, k);
          this.#isFilled = false;
          column[k] = at(this.#present(), sampleAt(fractions, k), this.#timeS);
        }
      }
      from = to;
      this.#timeS = sampleAt(timesS, to - 1);
      this.#isFilled = false;
    }
  }
  takeEvents(): CircuitEvent[] {
    return this.#engine.events.splice(0);
  }
  energy(): { suppliedJ: number; dissipatedJ: number; storedJ: number } {
    const { ledger } = this.#engine;
    if (!ledger.isKept) return { suppliedJ: Number.NaN, dissipatedJ: Number.NaN, storedJ: Number.NaN };
    const account = ledger.preview(this.#engine.fraction(this.#timeS));
    return { ...account, storedJ: ledger.storedJ(this.#present(), this.#timeS) };
  }
}

/**
 * Starts a circuit from its initial currents and voltages, shafts at rest, at time 0.
 * @throws CircuitError for bad values, a bad topology, or a circuit that cannot settle.
 */
export const createTransient = (netlist: Netlist, options: TransientOptions = {}): Transient =>
  new CompiledTransient(netlist, options);
