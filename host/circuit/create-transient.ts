// The solver's face made real: checks a netlist, compiles it and answers the questions of transient.ts.

import { partsOf } from './elements/index.js';
import { LimitPart } from './elements/limit.js';
import { MotorPart } from './elements/motor.js';
import type { Part } from './elements/part.js';
import { RelayPart } from './elements/relay.js';
import type { ControlSetting, Netlist, Probe } from './netlist.js';
import { Engine } from './solver/engine.js';
import { Layout } from './solver/layout.js';
import { checkTopology } from './topology.js';
import {
  CircuitError,
  type CircuitEvent,
  type CreateTransient,
  type Transient,
  type TransientOptions,
} from './transient.js';
import { checkValues } from './values.js';

class CompiledTransient implements Transient {
  #timeS = 0;
  readonly #engine: Engine;
  readonly #layout = new Layout();
  readonly #byId = new Map<string, Part>();
  readonly #x: Float64Array;
  #isFilled = false;

  constructor(netlist: Netlist, options: TransientOptions) {
    checkValues(netlist);
    checkTopology(netlist);
    const parts = netlist.elements.flatMap((element) => partsOf(element, this.#layout));
    for (const part of parts) this.#byId.set(part.id, part);
    for (const part of parts) {
      if (!(part instanceof LimitPart)) continue;
      const motor = this.#part(part.element.motor);
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
      const part = this.#part(element);
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
  #part(id: string): Part {
    const part = this.#byId.get(id);
    if (part) return part;
    throw badValue(
      `There is no element ${id} in the circuit: use one of ${[...this.#byId.keys()].join(', ')}.`,
      id,
    );
  }
  reader(probe: Probe): () => number {
    switch (probe.kind) {
      case 'voltage': {
        const plus = this.#node(probe.plus);
        const minus = probe.minus === undefined ? 0 : this.#node(probe.minus);
        return () => {
          const x = this.#present();
          return x[plus]! - x[minus]!;
        };
      }
      case 'current': {
        const part = this.#part(probe.element);
        const suppression = this.#byId.get(`${probe.element}.suppression`);
        if (!suppression) return () => part.currentA(this.#present());
        return () => part.currentA(this.#present()) + suppression.currentA(this.#present());
      }
      case 'coil-current': {
        const part = this.#part(probe.element);
        if (!(part instanceof RelayPart))
          throw badValue(`${probe.element} has no coil: name a relay.`, probe.element);
        return () => part.coilCurrentA(this.#present(), this.#timeS);
      }
      case 'speed':
      case 'angle': {
        const part = this.#part(probe.element);
        if (!(part instanceof MotorPart))
          throw badValue(`${probe.element} has no shaft: name a motor.`, probe.element);
        if (probe.kind === 'speed') return () => part.speedRadS(this.#present());
        return () => part.angleRad(this.#engine.fraction(this.#timeS));
      }
      case 'sum': {
        const readers = probe.of.map((each) => this.reader(each));
        return () => readers.reduce((sum, read) => sum + read(), 0);
      }
    }
  }
  #node(name: string): number {
    const slot = this.#layout.find(name);
    if (slot !== undefined) return slot;
    throw new CircuitError({
      code: 'unknown-node',
      sentence: `There is no node ${name} in the circuit: name one that an element is connected to.`,
      nodes: [name],
      elements: [],
    });
  }
  takeEvents(): CircuitEvent[] {
    return this.#engine.events.splice(0);
  }
  energy(): { suppliedJ: number; dissipatedJ: number; storedJ: number } {
    const { ledger } = this.#engine;
    const account = ledger.preview(this.#engine.fraction(this.#timeS));
    return { ...account, storedJ: ledger.storedJ(this.#present(), this.#timeS) };
  }
}

function badValue(sentence: string, element: string): CircuitError {
  return new CircuitError({ code: 'bad-value', sentence, nodes: [], elements: [element] });
}

/**
 * Starts a circuit from its initial currents and voltages, shafts at rest, at time 0.
 * @throws CircuitError for bad values, a bad topology, or a circuit that cannot settle.
 */
export const createTransient: CreateTransient = (netlist, options = {}) =>
  new CompiledTransient(netlist, options);

/** Steps committed so far, for benches. */
export function stepsOf(transient: Transient): number {
  return transient instanceof CompiledTransient ? transient.steps : 0;
}
