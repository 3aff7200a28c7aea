// What can be wrong in a scenario though every value in it is of the right shape: names that are nowhere, a state that an
// element does not have, an instant behind the end. Found before anything runs, so that file and line can be told.

import { nearestName } from '../input/index.js';
import { type CircuitElement, joinedNodes } from './elements/index.js';

export interface ScenarioFault {
  path: (string | number)[];
  what: string;
  mend: string;
}

interface Sensed {
  voltage?: string;
  against?: string | undefined;
  current?: string;
  coilCurrents?: readonly string[];
}

export interface ScenarioStated {
  durationS: number;
  elements: readonly CircuitElement[];
  schedule: readonly { atS: number; set: Readonly<Record<string, string | boolean>> }[];
  sense: Readonly<Record<string, Sensed | string | undefined>>;
}

/** In the order of the file. */
export function scenarioFaults({ durationS, elements, schedule, sense }: ScenarioStated): ScenarioFault[] {
  const byId = new Map(elements.map((element) => [element.id, element]));
  return [...scheduleFaults(schedule, byId, durationS), ...senseFaults(sense, byId, joinsOf(elements))];
}

/** How often each node is joined. */
function joinsOf(elements: readonly CircuitElement[]): Map<string, number> {
  const nodes = new Map<string, number>([['ground', 2]]);
  for (const element of elements)
    for (const node of joinedNodes(element)) nodes.set(node, (nodes.get(node) ?? 0) + 1);
  return nodes;
}

/** Both ends of these carry the same current: with nothing else at one of them none ever flows. */
const ENDS = ['a', 'b', 'plus', 'minus', 'anode', 'cathode'];

/** Ends that hang in the air: no fault, since nothing flows there, but seldom what was meant. */
export function danglingNodes(elements: readonly CircuitElement[]): ScenarioFault[] {
  const nodes = joinsOf(elements);
  return elements.flatMap((element, index) =>
    Object.entries(element).flatMap(([key, node]): ScenarioFault[] => {
      if (!ENDS.includes(key) || typeof node !== 'string' || nodes.get(node) !== 1) return [];
      const others = [...nodes.keys()].filter((name) => name !== node);
      return [
        {
          path: ['elements', index, key],
          what: `nothing else is joined to node ${node}`,
          mend: meant(node, others, 'join something to it, or leave the element out'),
        },
      ];
    }),
  );
}

function scheduleFaults(
  schedule: ScenarioStated['schedule'],
  byId: ReadonlyMap<string, CircuitElement>,
  durationS: number,
): ScenarioFault[] {
  return schedule.flatMap(({ atS, set }, index): ScenarioFault[] => {
    const late: ScenarioFault[] =
      atS > durationS
        ? [
            {
              path: ['schedule', index, 'atS'],
              what: `${atS} s lies behind the end at ${durationS} s`,
              mend: `move it forward, or make durationS longer`,
            },
          ]
        : [];
    const wrong = Object.entries(set).flatMap(([name, state]): ScenarioFault[] => {
      const path = ['schedule', index, 'set', name];
      const element = byId.get(name);
      if (element === undefined)
        return [
          {
            path,
            what: `no element ${name}`,
            mend: meant(name, [...byId.keys()], 'name one of the elements'),
          },
        ];
      const states = statesOf(element);
      if (states.length === 0)
        return [{ path, what: `a ${element.kind} takes no state`, mend: `name a contact, switch or motor` }];
      if (states.includes(state)) return [];
      const words = states.filter((known) => typeof known === 'string');
      return [{ path, what: `${name} has no state ${state}`, mend: `write ${words.join(', ')}` }];
    });
    return [...late, ...wrong];
  });
}

/** Positions in which a switch may stand without being wired there; the same that its part knows. */
const EMPTY_POSITIONS = ['rest', 'off', 'open'];

/** What may be set of an element in a schedule. */
function statesOf(element: CircuitElement): (string | boolean)[] {
  switch (element.kind) {
    case 'contact':
      return ['open', 'closed', true, false];
    case 'motor':
      return ['held', 'free', true, false];
    case 'switch':
      return [
        ...new Set([
          element.position,
          ...element.poles.flatMap(({ throws }) => Object.keys(throws)),
          ...EMPTY_POSITIONS,
        ]),
      ];
    default:
      return [];
  }
}

function senseFaults(
  sense: ScenarioStated['sense'],
  byId: ReadonlyMap<string, CircuitElement>,
  nodes: ReadonlyMap<string, number>,
): ScenarioFault[] {
  return Object.entries(sense).flatMap(([channel, place]): ScenarioFault[] => {
    if (place === undefined) return [];
    const path = (key: string | number): (string | number)[] => ['sense', channel, key];
    const element = (name: string, at: (string | number)[]): ScenarioFault[] =>
      byId.has(name)
        ? []
        : [
            {
              path: at,
              what: `no element ${name}`,
              mend: meant(name, [...byId.keys()], 'name one of the elements'),
            },
          ];
    const node = (name: string | undefined, key: string): ScenarioFault[] =>
      name === undefined || nodes.has(name)
        ? []
        : [
            {
              path: path(key),
              what: `no node ${name}`,
              mend: meant(name, [...nodes.keys()], 'name a node of an element'),
            },
          ];
    if (typeof place === 'string') return element(place, ['sense', channel]);
    return [
      ...node(place.voltage, 'voltage'),
      ...node(place.against, 'against'),
      ...(place.current === undefined ? [] : element(place.current, path('current'))),
      ...(place.coilCurrents ?? []).flatMap((name, k) =>
        element(name, ['sense', channel, 'coilCurrents', k]),
      ),
    ];
  });
}

function meant(name: string, known: readonly string[], otherwise: string): string {
  const near = nearestName(name, known);
  return near === undefined ? otherwise : `did you mean ${near}?`;
}
