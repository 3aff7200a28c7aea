// What the parts of a circuit style owe each other, beyond the shape of each: every name used is one that is there.

import {
  type CircuitStyle,
  nodesOf,
  RIG_CONTACTS,
  RIG_NODES,
  RIG_SHUNTS,
  type StyleElement,
  styleShape,
} from './circuit-style.js';
import { wiresIn } from './hook-up.js';

/** Where in the profile, and what is wrong there. */
type Refusal = [path: (string | number)[], message: string];
type Rule = (style: CircuitStyle, parts: Parts) => Iterable<Refusal>;

interface Parts {
  byId: ReadonlyMap<string, StyleElement>;
  /** Of each node: how many terminals are joined to it. */
  uses: ReadonlyMap<string, number>;
}

const isOneOf = (names: readonly string[], name: string): boolean => names.includes(name);

function* ownIds({ elements }: CircuitStyle): Iterable<Refusal> {
  const ids = new Set<string>();
  for (const [index, { id }] of elements.entries()) {
    if (ids.has(id)) yield [['elements', index, 'id'], `element ${id} stands twice: give each its own id`];
    ids.add(id);
  }
}

function* oneMotor({ elements }: CircuitStyle): Iterable<Refusal> {
  const { length } = elements.filter(({ kind }) => kind === 'motor');
  const isJudgedAlone = elements.every(({ kind, rigOwn }) => rigOwn === true || kind === 'relay');
  if (length !== 1 && !(length === 0 && isJudgedAlone))
    yield [
      ['elements'],
      length > 1
        ? `${length} motors: keep one; throwbench ratings --motors ${length} reckons several on the same contacts`
        : 'no motor: a style has one element of kind motor',
    ];
}

function* nodesOfTheRig({ elements }: CircuitStyle): Iterable<Refusal> {
  for (const [index, element] of elements.entries()) {
    for (const name of nodesOf(element)) {
      if (name.startsWith('rig.') && !isOneOf(RIG_NODES, name))
        yield [
          ['elements', index],
          `${element.id}: the rig has no ${name}: use one of ${RIG_NODES.join(', ')}`,
        ];
    }
  }
}

/** Terminals of a relay or switch may stay free. */
function* joinedNodes({ elements }: CircuitStyle, { uses }: Parts): Iterable<Refusal> {
  for (const [index, element] of elements.entries()) {
    if (element.kind === 'relay' || element.kind === 'switch') continue;
    for (const name of nodesOf(element)) {
      if (!name.startsWith('rig.') && uses.get(name) === 1)
        yield [
          ['elements', index],
          `${element.id}: nothing else is joined to ${name}: correct its name, or join it`,
        ];
    }
  }
}

/** A wire that leads back to where it began joins nothing; of its two sizes only one would count. */
function* wiresThatLead({ elements }: CircuitStyle): Iterable<Refusal> {
  for (const [index, element] of elements.entries()) {
    if ('a' in element && element.a === element.b)
      yield [['elements', index, 'b'], `both ends of ${element.id} are at ${element.a}: name its other end`];
    if (element.kind === 'wire' && element.areaMm2 !== undefined && element.awg !== undefined)
      yield [
        ['elements', index, 'awg'],
        `${element.id} has two sizes, areaMm2 ${element.areaMm2} and awg ${element.awg}: keep one of them`,
      ];
  }
}

/** What is wrong with putting an element into a state. */
function stateFault(name: string, state: string, { byId }: Parts): string | undefined {
  if (isOneOf(RIG_CONTACTS, name))
    return state === 'open' || state === 'closed' ? undefined : `${name} can be open or closed`;
  const element = byId.get(name);
  if (element?.kind === 'adjustable-supply')
    return state === 'turn' ? undefined : `${name} can be asked to turn`;
  if (element?.kind !== 'switch')
    return `${name} is neither a switch of this style nor ${RIG_CONTACTS.join(' nor ')}`;
  const { position, poles } = element;
  const wired = new Set(['rest', position, ...poles.flatMap(({ throws }) => Object.keys(throws))]);
  return wired.has(state)
    ? undefined
    : `${name} has no position ${state}: use one of ${[...wired].join(', ')}`;
}

function* states(
  path: readonly string[],
  settings: Readonly<Record<string, string>>,
  parts: Parts,
): Iterable<Refusal> {
  for (const [name, state] of Object.entries(settings)) {
    const fault = stateFault(name, state, parts);
    if (fault !== undefined) yield [[...path, name], fault];
  }
}

function* statesOfPositions({ positions }: CircuitStyle, parts: Parts): Iterable<Refusal> {
  for (const [position, settings] of Object.entries(positions))
    yield* states(['positions', position], settings, parts);
}

function* thrownByTheRig({ thrownBy, positions }: CircuitStyle, { byId }: Parts): Iterable<Refusal> {
  if (thrownBy !== 'trigger') return;
  for (const [position, settings] of Object.entries(positions)) {
    const moved = Object.keys(settings).find((name) => byId.has(name));
    if (moved !== undefined)
      yield [
        ['positions', position, moved],
        `the rig throws a trigger style by ${RIG_CONTACTS.join(' and ')} and cannot move ${moved}: put it under stations, or let the stand-in throw`,
      ];
  }
}

function* statesAskedFor({ asks }: CircuitStyle, parts: Parts): Iterable<Refusal> {
  for (const [name, { does }] of Object.entries(asks)) yield* states(['asks', name, 'does'], does, parts);
}

function* statesOfStations({ stations }: CircuitStyle, parts: Parts): Iterable<Refusal> {
  for (const [name, { positions }] of Object.entries(stations)) {
    for (const [position, settings] of Object.entries(positions))
      yield* states(['stations', name, 'positions', position], settings, parts);
  }
}

function* placesSensed({ sense }: CircuitStyle, { byId, uses }: Parts): Iterable<Refusal> {
  for (const [channel, place] of Object.entries(sense)) {
    if ('current' in place) {
      if (!byId.has(place.current) && !isOneOf(RIG_SHUNTS, place.current))
        yield [
          ['sense', channel],
          `no element ${place.current}: use ${RIG_SHUNTS.join(', ')} or one of this style`,
        ];
      continue;
    }
    for (const name of [place.voltage, place.against]) {
      if (name !== undefined && !uses.has(name) && !isOneOf(RIG_NODES, name))
        yield [['sense', channel], `nothing is joined to ${name}: name a node of this style or of the rig`];
    }
  }
}

function* wiresHookedUp({ hookUp, hookUpByHand = [] }: CircuitStyle, { byId }: Parts): Iterable<Refusal> {
  for (const [key, lines] of Object.entries({ hookUp, hookUpByHand }))
    for (const [index, line] of lines.entries())
      for (const wire of wiresIn(line))
        if (byId.get(wire)?.kind !== 'wire')
          yield [[key, index], `{${wire}} is no wire of this style: name one by its id, or leave it out`];
}

/** In the order in which their refusals are told. */
const RULES: readonly Rule[] = [
  ownIds,
  oneMotor,
  nodesOfTheRig,
  joinedNodes,
  wiresThatLead,
  statesOfPositions,
  thrownByTheRig,
  statesAskedFor,
  statesOfStations,
  placesSensed,
  wiresHookedUp,
];

export const circuitStyleSchema = styleShape.superRefine((style, context) => {
  const uses = new Map<string, number>();
  for (const name of style.elements.flatMap(nodesOf)) uses.set(name, (uses.get(name) ?? 0) + 1);
  const parts = { byId: new Map(style.elements.map((element) => [element.id, element])), uses };
  for (const rule of RULES) {
    for (const [path, message] of rule(style, parts)) context.addIssue({ code: 'custom', path, message });
  }
});
