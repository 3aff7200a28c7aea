// The sense clip of a lead, taken off the motor's terminal and bitten on somewhere else: the rig then reads that place on
// the lead's channel, and its divider loads it.

import type { Channel } from '../capture/index.js';
import type { CircuitElement } from './netlist.js';
import type { UnitCircuit } from './unit-input.js';
import { SENSE_NODES } from './unit-rig.js';

export type SenseClip = keyof typeof SENSE_NODES;

/** The channel that a clip is read on. */
export const CLIP_CHANNELS = {
  a: 'leadAVoltageV',
  b: 'leadBVoltageV',
} as const satisfies Record<SenseClip, Channel>;

/** The node of the style where each clip belongs. */
export const CLIP_HOMES: Record<SenseClip, string> = { a: SENSE_NODES.a.motor, b: SENSE_NODES.b.motor };

/** A copy of `circuit` whose clip sits on `node` of its netlist. @throws RangeError where the circuit has no such clip. */
export function withClipAt(circuit: UnitCircuit, clip: SenseClip, node: string): UnitCircuit {
  const id = `${SENSE_NODES[clip].motor}-load`;
  if (!circuit.netlist.elements.some((element) => element.id === id))
    throw new RangeError(`withClipAt: no sense clip of lead ${clip} in the circuit`);
  const elements = circuit.netlist.elements.map(
    (element): CircuitElement =>
      element.id === id && element.kind === 'resistor' ? { ...element, a: node } : element,
  );
  const probes = { ...circuit.probes, [CLIP_CHANNELS[clip]]: { kind: 'voltage' as const, plus: node } };
  return { ...circuit, netlist: { elements }, probes };
}
