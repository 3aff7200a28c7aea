// A resolved circuit: every element with its numbers. Styles (YAML) plus profile values become one of these;
// faults are edits of one. Node names are free text; GROUND is the reference.

import type { CircuitElement } from './elements/index.js';

export type { ClampElement } from './elements/diode.js';
export type { CircuitElement, ElementKind } from './elements/index.js';
export type { MotorElement } from './elements/motor.js';
export type { RelayElement } from './elements/relay.js';

export const GROUND = 'ground';

export interface Netlist {
  elements: readonly CircuitElement[];
}

/** Something to read off a solution. `current` of a two-terminal element is positive from its first terminal through it. */
export type Probe =
  | { kind: 'voltage'; plus: string; minus?: string }
  | { kind: 'current'; element: string }
  /** Current into a relay's coil at terminal 86. */
  | { kind: 'coil-current'; element: string }
  | { kind: 'speed'; element: string }
  | { kind: 'angle'; element: string }
  /** Sum of probes, for two coils on one feed. */
  | { kind: 'sum'; of: readonly Probe[] };

/** A control: a contact's id with closed/open, a switch's id with its position, or a motor's held rotor. */
export interface ControlSetting {
  element: string;
  state: string | boolean;
}
