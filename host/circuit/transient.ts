// The solver's face: what the rest of the house may ask of a running circuit.

import type { ControlSetting, Netlist, Probe } from './netlist.js';

export interface CircuitProblem {
  code: 'floating-node' | 'source-loop' | 'inductor-cut' | 'bad-value' | 'unknown-node' | 'no-convergence';
  /** One sentence naming nodes and elements. */
  sentence: string;
  nodes: string[];
  elements: string[];
}

/** Thrown by createTransient and by a solver that cannot go on; carries the problem. */
export class CircuitError extends Error {
  constructor(readonly problem: CircuitProblem) {
    super(problem.sentence);
    this.name = 'CircuitError';
  }
}

export interface CircuitEvent {
  timeS: number;
  element: string;
  /** `closed`, `opened`, `conducts`, `blocks`, `stuck`, `slips`, `pulled-in`, `dropped-out`, `blown`, `tripped`, ... */
  what: string;
}

export interface TransientOptions {
  /** Local error per step as a fraction of each quantity's running peak; default 5e-5. */
  relativeTolerance?: number;
  /** Default 1e-13 s and 0.0625 s; both are rounded to powers of two. */
  minimumStepS?: number;
  maximumStepS?: number;
  /** Off saves the account of energy, which then reads NaN; default on. */
  keepsEnergy?: boolean;
}

/** A circuit being simulated. Time only goes forward for its user; the solver may look ahead and take back. */
export interface Transient {
  readonly timeS: number;
  /** Applies controls at `timeS` or later (never earlier than the last advance). */
  control(atS: number, settings: readonly ControlSetting[]): void;
  /** Solves up to `toS` exactly. Probes read with valueAt for times between the last advance and toS. */
  advance(toS: number): void;
  /** Compiles a probe once; the returned function reads at the transient's present time. */
  reader(probe: Probe): () => number;
  /** Events since the last call. */
  takeEvents(): CircuitEvent[];
  /** Energy since the start, J: supplied = dissipated + storedChange within solver error. */
  energy(): { suppliedJ: number; dissipatedJ: number; storedJ: number };
}

export interface ScheduleEntry {
  atS: number;
  settings: readonly ControlSetting[];
}

export interface SimulateRequest {
  netlist: Netlist;
  schedule: readonly ScheduleEntry[];
  untilS: number;
  sampleRateHz: number;
  probes: Readonly<Record<string, Probe>>;
  options?: TransientOptions;
}

export interface Simulation {
  timeS: Float64Array;
  values: Record<string, Float64Array>;
  events: CircuitEvent[];
  energy: { suppliedJ: number; dissipatedJ: number; storedJ: number };
  steps: number;
}
