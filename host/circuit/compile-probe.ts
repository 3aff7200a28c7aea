// From a probe to a function of the solved unknowns.

import { MotorPart } from './elements/motor.js';
import type { Part } from './elements/part.js';
import { RelayPart } from './elements/relay.js';
import { differenceAt } from './elements/two-ended.js';
import type { Probe } from './netlist.js';
import type { Layout } from './solver/layout.js';
import { CircuitError } from './transient.js';

/** A probe as a function of the unknowns, the fraction of the held step and the time. */
export interface CompiledProbe {
  at: (x: Float64Array, s: number, timeS: number) => number;
  /** No product of unknowns in it, nor of an unknown and time. */
  isAffine: boolean;
}

/** @throws CircuitError for a node or element that is not there, or that has no such quantity. */
export function compileProbe(probe: Probe, byId: ReadonlyMap<string, Part>, layout: Layout): CompiledProbe {
  switch (probe.kind) {
    case 'voltage': {
      const plus = nodeOf(layout, probe.plus);
      const minus = probe.minus === undefined ? 0 : nodeOf(layout, probe.minus);
      return { isAffine: true, at: (x) => differenceAt(x, plus, minus) };
    }
    case 'current': {
      const part = partOf(byId, probe.element);
      const suppression = byId.get(`${probe.element}.suppression`);
      if (!suppression) return { isAffine: true, at: (x) => part.currentA(x) };
      return { isAffine: true, at: (x) => part.currentA(x) + suppression.currentA(x) };
    }
    case 'coil-current': {
      const part = partOf(byId, probe.element);
      if (!(part instanceof RelayPart))
        throw badValue(`${probe.element} has no coil: name a relay.`, probe.element);
      return { isAffine: false, at: (x, _s, timeS) => part.coilCurrentA(x, timeS) };
    }
    case 'speed':
    case 'angle': {
      const part = partOf(byId, probe.element);
      if (!(part instanceof MotorPart))
        throw badValue(`${probe.element} has no shaft: name a motor.`, probe.element);
      if (probe.kind === 'speed') return { isAffine: true, at: (x) => part.speedRadS(x) };
      return { isAffine: false, at: (_x, s) => part.angleRad(s) };
    }
    case 'sum': {
      const terms = probe.of.map((each) => compileProbe(each, byId, layout));
      return {
        isAffine: terms.every(({ isAffine }) => isAffine),
        at: (x, s, timeS) => terms.reduce((sum, { at }) => sum + at(x, s, timeS), 0),
      };
    }
  }
}

function nodeOf(layout: Layout, name: string): number {
  const slot = layout.find(name);
  if (slot !== undefined) return slot;
  throw new CircuitError({
    code: 'unknown-node',
    sentence: `There is no node ${name} in the circuit: name one that an element is connected to.`,
    nodes: [name],
    elements: [],
  });
}

/** @throws CircuitError when the circuit has no element `id`. */
export function partOf(byId: ReadonlyMap<string, Part>, id: string): Part {
  const part = byId.get(id);
  if (part) return part;
  throw badValue(`There is no element ${id} in the circuit: use one of ${[...byId.keys()].join(', ')}.`, id);
}

export function badValue(sentence: string, element: string): CircuitError {
  return new CircuitError({ code: 'bad-value', sentence, nodes: [], elements: [element] });
}
