// A unit on the rig as one netlist: the rig's side, the style's structure with the profiles' numbers, and the faults
// asked for. Knows no style by name.

import { CHANNELS, type Channel, POSITIONS, type Position } from '../capture/index.js';
import type { CircuitStyle } from '../profile/index.js';
import { applyFault } from './fault-edits.js';
import type { ControlSetting, Netlist, Probe } from './netlist.js';
import type { UnitCircuit, UnitCircuitInput } from './unit-input.js';
import { styleElements } from './unit-parts.js';
import { FEED_CONTROLS, placeNode, rigElements, sensedNode } from './unit-rig.js';

/** @throws RangeError for a fault that does not fit the circuit, or relay values missing. */
export function buildUnitCircuit(input: UnitCircuitInput): UnitCircuit {
  const { style } = input;
  const healthy: Netlist = {
    elements: [...rigElements(input), ...style.elements.flatMap((element) => styleElements(input, element))],
  };
  const netlist = (input.faults ?? []).reduce(applyFault, healthy);
  return {
    netlist,
    controls: {
      position: positionControls(style.positions),
      feed: FEED_CONTROLS,
      asks: Object.fromEntries(
        Object.entries(style.asks).map(([name, { does }]) => [name, settingsOf(does)]),
      ),
      stations: Object.fromEntries(
        Object.entries(style.stations).map(([name, { positions }]) => [name, positionControls(positions)]),
      ),
    },
    probes: Object.fromEntries(
      CHANNELS.map((channel) => [channel, sensedIn(netlist, probeOf(style.sense[channel]))]),
    ) as Record<Channel, Probe>,
    motorId: style.elements.find(({ kind }) => kind === 'motor')?.id ?? '',
  };
}

export function motorOf(style: CircuitStyle): Extract<CircuitStyle['elements'][number], { kind: 'motor' }> {
  const motor = style.elements.find((element) => element.kind === 'motor');
  if (motor?.kind !== 'motor') throw new RangeError(`motorOf: style ${style.id} has no motor`);
  return motor;
}

function positionControls(positions: CircuitStyle['positions']): Record<Position, ControlSetting[]> {
  return Object.fromEntries(
    POSITIONS.map((position) => [position, settingsOf(positions[position])]),
  ) as Record<Position, ControlSetting[]>;
}

const settingsOf = (states: Readonly<Record<string, string>>): ControlSetting[] =>
  Object.entries(states).map(([element, state]) => ({ element, state }));

const sensedIn = (netlist: Netlist, probe: Probe): Probe =>
  probe.kind === 'voltage' ? { ...probe, plus: sensedNode(netlist, probe.plus) } : probe;

function probeOf(place: CircuitStyle['sense'][Channel]): Probe {
  if ('current' in place) return { kind: 'current', element: place.current };
  const plus = placeNode(place.voltage);
  return place.against === undefined
    ? { kind: 'voltage', plus }
    : { kind: 'voltage', plus, minus: placeNode(place.against) };
}
