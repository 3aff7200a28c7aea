// What stands at every node of a unit's circuit, and what flows through every wire, once a position has settled: the motor
// runs free, relays have pulled in.

import type { Position } from '../capture/index.js';
import { type CircuitStyle, nodesOf } from '../profile/index.js';
import { joinedNodes } from './elements/index.js';
import { midTravel } from './mid-travel.js';
import type { ControlSetting, Probe } from './netlist.js';
import { simulate } from './simulate.js';
import { withoutRipple } from './tolerance.js';
import { buildUnitCircuit } from './unit-circuit.js';
import type { UnitCircuitInput } from './unit-input.js';
import { placeNode } from './unit-rig.js';

export interface PositionState {
  position: Position;
  /** Volt to ground by the style's own nodes; what a fault has taken out of the circuit is left out. */
  voltageV: Readonly<Record<string, number>>;
  /** Ampere by element of the style, positive from its first end to its second; of relays and switches none. */
  currentA: Readonly<Record<string, number>>;
  /** Out of the supply into the motor's circuit, and into the coils. */
  feedCurrentA: number;
  coilCurrentA: number;
  /** Position of each switch. */
  switches: Readonly<Record<string, string>>;
  /** Relays whose armature is pulled in. */
  pulledIn: readonly string[];
}

const THROW_AT_S = 0.02;
/** Relays pull in within 20 ms, motors run up within 200 ms (common practice). */
const SETTLED_S = 0.6;
/** The mean over its last part leaves no bounce and no ripple in what is shown. */
const SAMPLE_RATE_HZ = 200;
const MEAN_OF = 10;
const WITHOUT_CURRENT: readonly string[] = ['relay', 'switch'];

/**
 * @param station throws from there instead
 * @throws RangeError for a station that is not there; CircuitError where the circuit cannot be solved
 */
export function positionState(input: UnitCircuitInput, position: Position, station?: string): PositionState {
  const { rotorHeld: _held, ...free } = withoutRipple(input);
  const { style } = input;
  const sign = position !== 'rest' && style.polarity[position] === 'negative' ? -1 : 1;
  const unit = buildUnitCircuit({ ...free, startAngleRad: midTravel(style, sign) });
  const place = station === undefined ? unit.controls.position : unit.controls.stations[station];
  if (place === undefined)
    throw new RangeError(
      `circuit ${style.id} has no station ${station}: use one of ${Object.keys(style.stations).join(', ') || 'none'}`,
    );
  const rest = [...unit.controls.feed.full, ...unit.controls.position.rest, ...place.rest];
  const { elements } = unit.netlist;
  const nodes = new Set(elements.flatMap((element) => joinedNodes(element)));
  const own = new Set(style.elements.flatMap(nodesOf));
  const shown = [...own].filter((node) => nodes.has(placeNode(node)));
  const carrying = style.elements.filter(
    ({ id, kind }) => !WITHOUT_CURRENT.includes(kind) && elements.some((each) => each.id === id),
  );
  const probes: Record<string, Probe> = Object.fromEntries([
    ...shown.map((node, i): [string, Probe] => [`v${i}`, { kind: 'voltage', plus: placeNode(node) }]),
    ...carrying.map(({ id }, i): [string, Probe] => [`i${i}`, { kind: 'current', element: id }]),
    ['feed', unit.probes.feedCurrentA],
    ['coil', unit.probes.coilCurrentA],
  ]);
  const run = simulate({
    netlist: unit.netlist,
    schedule: [
      { atS: 0, settings: rest },
      { atS: THROW_AT_S, settings: place[position] },
    ],
    untilS: SETTLED_S,
    sampleRateHz: SAMPLE_RATE_HZ,
    probes,
    options: { keepsEnergy: false },
  });
  const settled = (name: string): number => meanOfEnd(run.values[name]);
  const armature = new Map(
    run.events.filter(({ what }) => ARMATURE.includes(what)).map(({ element, what }) => [element, what]),
  );
  return {
    position,
    voltageV: Object.fromEntries(shown.map((node, i) => [node, settled(`v${i}`)])),
    currentA: Object.fromEntries(carrying.map(({ id }, i) => [id, settled(`i${i}`)])),
    feedCurrentA: settled('feed'),
    coilCurrentA: settled('coil'),
    switches: switchesAt(style, [...rest, ...place[position]]),
    pulledIn: [...armature].flatMap(([element, what]) => (what === 'pulled-in' ? [element] : [])),
  };
}

const ARMATURE = ['pulled-in', 'dropped-out'];

function meanOfEnd(values: Float64Array | undefined): number {
  const end = values?.subarray(-MEAN_OF) ?? new Float64Array();
  return end.reduce((sum, value) => sum + value, 0) / Math.max(1, end.length);
}

function switchesAt(style: CircuitStyle, settings: readonly ControlSetting[]): Record<string, string> {
  const at = Object.fromEntries(
    style.elements.flatMap((element) => (element.kind === 'switch' ? [[element.id, element.position]] : [])),
  );
  for (const { element, state } of settings)
    if (element in at && typeof state === 'string') at[element] = state;
  return at;
}
