// A supply for elements that are tested by themselves.

import type { CircuitElement } from '../../host/circuit/index.js';

/** From node `p` to ground. */
export const supply = (voltageV: number, sourceResistanceOhm = 1e-3): CircuitElement => {
  return { kind: 'supply', id: 'v', plus: 'p', minus: 'ground', voltageV, sourceResistanceOhm };
};
