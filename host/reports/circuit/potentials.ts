// How high each node of a style lies between feed (1) and ground (0), found from its structure alone: it tells which pin
// of a part looks up and which down. An ohm an element; a contact that this state leaves open is a hundred.

import { type CircuitStyle, RIG_CONTACTS, type StyleElement } from '../../profile/index.js';

const OPEN_OHM = 100;
/** Holds what nothing else holds, in the middle. */
const LEAK_OHM = 1e4;
const SWEEPS = 4000;
const CLOSE_ENOUGH = 1e-7;

/** Lead A passes through the rig's shunt and lead B straight through: on a picture each is one place. */
export function placeOf(node: string): string {
  if (node === 'rig.lead-a') return 'rig.motor-a';
  return node === 'rig.lead-b' ? 'rig.motor-b' : node;
}

interface Path {
  a: string;
  b: string;
  ohm: number;
}

/** @param thrown the states of a position; without them every contact lies half way between its ends */
export function potentials(
  style: CircuitStyle,
  thrown?: Readonly<Record<string, string>>,
): (node: string) => number {
  const ends = { feed: 'rig.feed', coilFeed: 'rig.coil-feed', ground: 'rig.ground' };
  const paths = [
    ...style.elements.flatMap((element) => pathsOf(element, thrown)),
    ...RIG_CONTACTS.map((contact): Path => {
      const wire = contact === 'rig.throw-forward' ? 'rig.trigger-forward' : 'rig.trigger-reverse';
      const to = style.triggerSide === 'ground' ? ends.ground : ends.coilFeed;
      return { a: wire, b: to, ohm: thrown === undefined || thrown[contact] === 'closed' ? 1 : OPEN_OHM };
    }),
  ];
  const fixed = new Map([
    [ends.feed, 1],
    [ends.coilFeed, 1],
    [ends.ground, 0],
  ]);
  const level = new Map<string, number>();
  for (const { a, b } of paths) for (const node of [a, b]) level.set(node, fixed.get(node) ?? 0.5);
  const at = (node: string): number => level.get(node) ?? 0.5;
  const around = new Map<string, Path[]>();
  for (const path of paths)
    for (const node of new Set([path.a, path.b])) around.set(node, [...(around.get(node) ?? []), path]);
  for (let sweep = 0; sweep < SWEEPS; sweep++) {
    let moved = 0;
    for (const [node, joined] of around) {
      if (fixed.has(node)) continue;
      let sum = 0.5 / LEAK_OHM;
      let siemens = 1 / LEAK_OHM;
      for (const { a, b, ohm } of joined) {
        sum += at(a === node ? b : a) / ohm;
        siemens += 1 / ohm;
      }
      moved = Math.max(moved, Math.abs(at(node) - sum / siemens));
      level.set(node, sum / siemens);
    }
    if (moved < CLOSE_ENOUGH) break;
  }
  return (node) => at(placeOf(node));
}

function pathsOf(element: StyleElement, thrown: Readonly<Record<string, string>> | undefined): Path[] {
  const path = (one: string, other: string, ohm = 1): Path => ({ a: placeOf(one), b: placeOf(other), ohm });
  switch (element.kind) {
    case 'relay': {
      const { '30': common, '85': minus, '86': plus, '87': make, '87a': rest } = element.terminals;
      return [
        path(minus, plus),
        ...[make, rest].flatMap((to) => (to === undefined ? [] : [path(common, to)])),
      ];
    }
    case 'switch': {
      const state = thrown?.[element.id] ?? element.position;
      return element.poles.flatMap(({ common, throws }) =>
        Object.entries(throws).map(([name, to]) =>
          path(common, to, thrown === undefined || name === state ? 1 : OPEN_OHM),
        ),
      );
    }
    case 'diode':
    case 'clamp':
      return [path(element.anode, element.cathode)];
    default:
      return [path(element.a, element.b)];
  }
}
