// What a picture shows of a circuit besides its structure: one position solved, colours, numbers of wires, a faulty place.

import type { PositionState } from '../../circuit/index.js';
import type { CircuitStyle } from '../../profile/index.js';
import { amount, briefly } from '../../tell/index.js';
import type { Box, Pin, Wire } from './drawing.js';
import type { Point } from './layout.js';

/** Where a fault sits: parts of the style, and terminals of them by their marks. */
export interface FaultyPlace {
  parts: readonly string[];
  marks: readonly { part: string; mark: string }[];
  /** Nodes where a probe goes. */
  nodes: readonly string[];
}

export interface Shown {
  style: CircuitStyle;
  state: PositionState;
  /** The same position of a good unit, told in brackets where it differs. */
  good?: PositionState | undefined;
  /** By id of the wire, letters of IEC 60757. */
  colours: Readonly<Record<string, string>>;
  /** By id of the wire, counted from 1. */
  numbers: ReadonlyMap<string, number>;
  faulty?: FaultyPlace | undefined;
}

/** What a hand meter's reading makes a difference of. */
const DIFFERS_V = 0.2;

/** Values at a pin, first what stands there; empty lines hold the place. */
export function valuesAt({ state, good }: Shown, node: string): string[] {
  const at = state.voltageV[node];
  const expected = good?.voltageV[node];
  const first = at === undefined ? '' : amount(at, 'V', 1);
  if (good === undefined) return [first];
  const differs = expected !== undefined && (at === undefined || Math.abs(at - expected) > DIFFERS_V);
  return [first, differs ? `(${amount(expected, 'V', 1)})` : ''];
}

export const isFaultyBox = ({ faulty }: Shown, { part, nodes, kind }: Box): boolean =>
  faulty !== undefined &&
  (part === undefined
    ? kind === 'joint' && faulty.parts.length === 0 && nodes.some((node) => faulty.nodes.includes(node))
    : faulty.parts.includes(part));

export const isFaultyPin = ({ faulty }: Shown, { part }: Box, { mark, node }: Pin): boolean =>
  faulty !== undefined &&
  part !== undefined &&
  (faulty.marks.some((each) => each.part === part && each.mark === mark) ||
    (faulty.parts.includes(part) && faulty.nodes.includes(node)));

export const isFaultyWire = ({ faulty }: Shown, { part }: Wire): boolean =>
  part !== undefined && (faulty?.parts.includes(part) ?? false);

/** `4.1 A ↓`, as it flows where the badge sits; empty where nothing flows. */
export function currentWords(flow: number, points: readonly Point[], at: Point): string {
  return flow === 0 ? '' : `${briefly(Math.abs(flow), 'A')} ${arrowAt(flow, points, at)}`;
}

function arrowAt(flow: number, points: readonly Point[], at: Point): string {
  const distance = ([from, to]: readonly [Point, Point]): number =>
    from.x === to.x
      ? Math.abs(from.x - at.x) + outside(at.y, from.y, to.y)
      : Math.abs(from.y - at.y) + outside(at.x, from.x, to.x);
  const steps = points.flatMap((to, i): [Point, Point][] => {
    const from = points[i - 1];
    return from === undefined ? [] : [[from, to]];
  });
  const [nearest] = steps.toSorted((one, other) => distance(one) - distance(other));
  if (nearest === undefined) return '';
  const [from, to] = nearest;
  const isForth = flow > 0;
  if (Math.abs(to.x - from.x) < Math.abs(to.y - from.y)) return to.y > from.y === isForth ? '↓' : '↑';
  return to.x > from.x === isForth ? '→' : '←';
}

const outside = (value: number, one: number, other: number): number =>
  Math.max(0, Math.min(one, other) - value, value - Math.max(one, other));

/** Node that the moving contact of a box rests on; the pins are common first. */
export function closedTo({ style, state }: Shown, box: Box): string | undefined {
  const element = style.elements.find(({ id }) => id === box.part);
  if (element?.kind === 'relay')
    return state.pulledIn.includes(element.id) ? element.terminals['87'] : element.terminals['87a'];
  if (element?.kind !== 'switch') return undefined;
  const pole = element.poles.find(({ id }) => box.pole === id);
  return pole?.throws[state.switches[element.id] ?? element.position];
}

/** `pulled in`, `thrown`: how a contact stands, in a word or two. */
export function stateWords({ style, state }: Shown, box: Box): string {
  const element = style.elements.find(({ id }) => id === box.part);
  if (element?.kind === 'relay') return state.pulledIn.includes(element.id) ? 'pulled in' : 'at rest';
  if (element?.kind !== 'switch') return '';
  const position = (state.switches[element.id] ?? element.position).replaceAll('-', ' ');
  return position === 'rest' ? 'at rest' : position;
}
