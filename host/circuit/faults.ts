// The faults that a style can have, made from its own structure: each wire, contact, relay terminal, lead and jumper.
// What a fault does to the readings is for the solver to say.

import {
  type CircuitStyle,
  notOnBench,
  type ResolvedUnit,
  type StyleElement,
  terminalsOf,
} from '../profile/index.js';
import type { Fault } from './fault.js';
import { benchFaults } from './fault-bench.js';
import { clipFaults, motorClipFaults } from './fault-clips.js';
import { OPEN_OHM } from './fault-edits.js';
import { protectorFaults } from './fault-motor-protector.js';
import { conditionsOf, loadFaults, motorFaults } from './fault-motors.js';
import { lampFaults, secondMotorFaults } from './fault-on-the-leads.js';
import { otherMotorFaults } from './fault-other-motors.js';
import { relayAloneFaults } from './fault-relay-alone.js';
import { relayFaults } from './fault-relays.js';
import { sharedGroundFaults } from './fault-shared-ground.js';
import { bothContactsFaults, bothJumpersFaults } from './fault-switch-pairs.js';
import { fallsBackFaults, switchgearFaults } from './fault-switches.js';
import { wireFaults, wiresFor } from './fault-wires.js';
import { Groups } from './groups.js';

/** A style does not change: what follows from it is made once for each style object. */
function once<T extends object>(make: (style: CircuitStyle) => T): (style: CircuitStyle) => T {
  const made = new WeakMap<CircuitStyle, T>();
  return (style) => {
    const known = made.get(style) ?? make(style);
    made.set(style, known);
    return known;
  };
}

const ownOf = (style: CircuitStyle, rigOwn: true | undefined): CircuitStyle => ({
  ...style,
  elements: style.elements.filter((element) => element.rigOwn === rigOwn),
});
const motorsOf = ({ elements }: CircuitStyle) => elements.filter((element) => element.kind === 'motor');

/** In the order of the elements, the rig's clips on them last; with a load in place of the motor, what can be wrong with that comes last. */
function listed(style: CircuitStyle, on: 'motor' | 'load'): readonly Fault[] {
  const own = ownOf(style, undefined);
  const [only, more] = own.elements;
  // A relay with nothing but the rig around it is looked at more closely than one in a harness.
  const alone = only?.kind === 'relay' && more === undefined ? only : undefined;
  const leads = wiresFor(own, 'lead');
  const ofMotor = (motor: ReturnType<typeof motorsOf>[number]): Fault[] => [
    ...motorFaults(motor),
    ...protectorFaults(motor),
    ...otherMotorFaults(motor),
    ...secondMotorFaults(motor, leads),
  ];
  const wires = wireFaults(own);
  const ofSwitchgear = (element: StyleElement): Fault[] => {
    const faults = switchgearFaults(own, element);
    return element.kind === 'switch' ? [...faults, ...bothContactsFaults(element, faults)] : faults;
  };
  return grouped(style, [
    ...wires,
    ...bothJumpersFaults(wiresFor(own, 'jumper'), wires),
    ...lampFaults(leads),
    ...sharedGroundFaults(own),
    ...relayFaults(own, alone !== undefined),
    ...(alone === undefined ? [] : relayAloneFaults(alone)),
    ...own.elements.flatMap((element) =>
      element.kind === 'motor' && on === 'motor' ? ofMotor(element) : ofSwitchgear(element),
    ),
    ...(on === 'load' ? motorsOf(own).flatMap((motor) => loadFaults(motor, leads)) : []),
    ...(motorsOf(own).length > 0 ? clipFaults(own) : []),
  ]);
}

const allOnMotor = once((style) => listed(style, 'motor'));
const allOnLoad = once((style) => listed(style, 'load'));
const isUnits = ({ owner }: Fault): boolean => owner !== 'rig';
const onMotor = once((style) => allOnMotor(style).filter(isUnits));
const onLoad = once((style) => allOnLoad(style).filter(isUnits));
const ofRig = once((style): readonly Fault[] => {
  const rig = ownOf(style, true);
  const switchgear = rig.elements.flatMap((element) => switchgearFaults(rig, element));
  return grouped(style, [
    ...wireFaults(rig),
    ...relayFaults(rig),
    ...switchgear,
    ...(motorsOf(style).length > 0 ? benchFaults(style) : []),
    ...motorClipFaults(style),
  ]);
});
const conditions = once((style): readonly Fault[] => [
  ...motorsOf(style).flatMap(conditionsOf),
  ...fallsBackFaults(style),
]);
const byId = (of: (style: CircuitStyle) => readonly Fault[]) =>
  once((style) => new Map([...of(style), ...ofRig(style)].map((fault) => [fault.id, fault])));
const onMotorById = byId(allOnMotor);
const onLoadById = byId(allOnLoad);

/**
 * Every fault of the style, ids unique and permanent, in the order of its elements; none of the rig's own parts.
 * With a known load in place of the motor, the load's in place of the motor's.
 */
export const faultsOf = (style: CircuitStyle, on: 'motor' | 'load' = 'motor'): readonly Fault[] =>
  on === 'motor' ? onMotor(style) : onLoad(style);

/** Those that what is being judged can have: a harness has no motor's faults. */
export function faultsOfUnit({
  unit,
  style,
  load,
}: Pick<ResolvedUnit, 'unit' | 'style' | 'load'>): readonly Fault[] {
  const faults = faultsOf(style, load === undefined ? 'motor' : 'load');
  return unit.subject === 'harness' ? faults.filter(({ owner }) => owner !== 'motor') : faults;
}

/** The rig's clips on the unit's wires, each in one group with what it reads the same as. */
export const clipFaultsOf = (style: CircuitStyle): readonly Fault[] =>
  allOnMotor(style).filter((fault) => !isUnits(fault));

/** What can be wrong with the rig's own part of the style: ruled out before anything of the unit is accused. */
export const rigFaultsOf = (style: CircuitStyle): readonly Fault[] => ofRig(style);

/** What may be the matter beyond the style's own list: only how it shows is known, not how a style would state it. */
export const furtherConditionsOf = (style: CircuitStyle): readonly Fault[] => conditions(style);

/** @throws RangeError naming the id and where to look. */
export function faultById({ style, load }: { style: CircuitStyle; load?: unknown }, id: string): Fault {
  const fault = (load === undefined ? onMotorById : onLoadById)(style).get(id);
  if (fault === undefined) {
    const isStoodIn = notOnBench(style).length > 0;
    const why = isStoodIn ? ": the rig's stand-in throws, and switch and jumpers are not on the bench" : '';
    throw new RangeError(`circuit style ${style.id} has no fault ${id}${why}`);
  }
  return fault;
}

/**
 * Faults with the same series resistance in one unbranched path are one to every reading: same current, same two ends.
 * They get the first one's id as their group.
 */
function grouped(style: CircuitStyle, faults: readonly Fault[]): Fault[] {
  const pathOf = unbranchedPaths(style);
  const members = new Map<string, Fault[]>();
  const keys = faults.map(({ edits: [edit, ...more] }) => {
    if (edit?.do !== 'series' || more.length > 0) return undefined;
    return `${Math.min(OPEN_OHM, edit.resistanceOhm)} ${pathOf(edit.at.element, edit.at.terminal)}`;
  });
  faults.forEach((fault, i) => {
    const key = keys[i];
    if (key !== undefined) members.set(key, [...(members.get(key) ?? []), fault]);
  });
  return faults.map((fault, i) => {
    const key = keys[i];
    const [first, second] = key === undefined ? [] : (members.get(key) ?? []);
    return first === undefined || second === undefined ? fault : { ...fault, group: first.id };
  });
}

/** Names the unbranched path that a terminal lies in: joined through nodes with exactly two terminals on them. */
function unbranchedPaths(style: CircuitStyle): (element: string, terminal: string) => string {
  const ends = new Map<string, string[]>();
  for (const element of style.elements) {
    for (const [terminal, node] of terminalsOf(element))
      ends.set(node, [...(ends.get(node) ?? []), branchOf(element, terminal)]);
  }
  const paths = new Groups();
  for (const [node, [first, second, ...more]] of ends) {
    if (node.startsWith('rig.') || more.length > 0) continue;
    if (first !== undefined && second !== undefined) paths.join(first, second);
  }
  const elements = new Map(style.elements.map((element) => [element.id, element]));
  return (id, terminal) => {
    const element = elements.get(id);
    return paths.of(element === undefined ? id : branchOf(element, terminal));
  };
}

/** What current through a terminal goes through: a relay has its coil and each contact apart, a switch each terminal. */
function branchOf({ kind, id }: StyleElement, terminal: string): string {
  if (kind === 'relay') return `${id} ${terminal === '85' || terminal === '86' ? 'coil' : terminal}`;
  return kind === 'switch' ? `${id} ${terminal}` : id;
}
