// What one measurement at the bench is, and how its readings are written.

import type { Channel } from '../../capture/index.js';
import { type Probe, placeNode, type UnitCircuit } from '../../circuit/index.js';
import { type Acted, COST_MIN } from './actions.js';
import type { CircuitsInPieces } from './circuits-in-pieces.js';
import type { Levels, Way } from './meter.js';

export interface ProbeReading {
  /** Where and when: `Lead A, forward`. */
  label: string;
  /** Infinity for an open circuit. */
  value: number;
  unit: 'V' | 'A' | 'Ohm';
}

export interface ProbeAnswer {
  readings: ProbeReading[];
  /** One sentence on how it had to be measured. */
  note?: string;
}

export interface ProbeChoice extends Acted {
  /** kebab-case, permanent. */
  id: string;
  question: string;
  /** Channels by which a rig reads the same: with all of them sampled in whole throws there is nothing left to read. */
  reads?: readonly Channel[];
  ask(circuits: CircuitsInPieces): ProbeAnswer;
  /** The same readings before its hand was put to the circuit, where the rig has made them: only what changes tells more. */
  before?(circuits: CircuitsInPieces): ProbeAnswer;
}

/** With the meter while it is fed, and with the power off and the part out. */
export const FED: Acted = { does: 'meter', state: 'thrown', costMin: COST_MIN.meterThrown };
export const DEAD: Acted = { does: 'meter', state: 'unplugged', costMin: COST_MIN.meterOff };

export type ReadLevels = (circuit: UnitCircuit, way: Way, extra?: Record<string, Probe>) => Levels;

export const WAYS = ['forward', 'reverse'] as const;
const LIMITED_NOTE = 'Through the limited feed: the full one trips the rig.';

/** `readings`, with the note that they need when the full feed tripped. */
export const noted = (seen: readonly Levels[], readings: ProbeReading[]): ProbeAnswer => ({
  readings,
  ...(seen.some(({ limited }) => limited) ? { note: LIMITED_NOTE } : {}),
});

export const toGround = (node: string): Probe => ({ kind: 'voltage', plus: placeNode(node) });
export const across = (a: string, b: string): Probe => ({
  kind: 'voltage',
  plus: placeNode(a),
  minus: placeNode(b),
});
export const volts = (label: string, value = Number.NaN): ProbeReading => ({ label, value, unit: 'V' });
export const amps = (label: string, value = Number.NaN): ProbeReading => ({ label, value, unit: 'A' });
export const resistance = (label: string, value: number): ProbeReading => ({ label, value, unit: 'Ohm' });
