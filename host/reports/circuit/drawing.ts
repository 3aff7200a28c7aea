// A style as a drawing before it is laid out: boxes with pins up and down, wires from pin to pin. What a part is and what
// is joined to what stands in the style; nothing here knows a style by name.

import { elementWords, placeWords } from '../../circuit/index.js';
import type { CircuitStyle, StyleElement } from '../../profile/index.js';
import { capitalised } from '../../tell/index.js';
import { placeOf, potentials } from './potentials.js';

export type Side = 'top' | 'bottom';

export interface Pin {
  id: string;
  side: Side;
  /** As marked on the part; empty where nothing is marked. */
  mark: string;
  /** Node of the style whose voltage stands here. */
  node: string;
  /** Several wires on one terminal lie side by side. */
  ends: string[];
}

export type BoxKind = Exclude<StyleElement['kind'], 'wire'> | 'terminal' | 'joint';

export interface Box {
  id: string;
  kind: BoxKind;
  /** Element of the style; absent of joints and terminals. */
  part?: string;
  /** Of a switch with more poles than one: which. */
  pole?: string;
  words: string;
  pins: Pin[];
  /** Whether the pins of a side stand in the order given. */
  isOrdered: boolean;
  /** Nodes of the style that it shows. */
  nodes: readonly string[];
}

export interface Wire {
  id: string;
  /** From the pin that lies higher to the lower one. */
  from: string;
  to: string;
  /** Absent of two pins on one node, joined without a wire of their own. */
  part?: string;
}

export interface Drawing {
  boxes: Box[];
  wires: Wire[];
}

type Part = Exclude<StyleElement, { kind: 'wire' }>;

/** Inner parts of a model that no person finds: an arc, a damping resistance, both ends on those of a part with a name. */
function isInner(element: Part, others: readonly Part[]): boolean {
  if (element.title !== undefined || element.kind === 'motor') return false;
  const ends = endsOf(element);
  return (
    ends !== undefined &&
    others.some((other) => {
      const its = other === element || other.title === undefined ? undefined : endsOf(other);
      return its?.every((node) => ends.includes(node));
    })
  );
}

function endsOf(element: Part): string[] | undefined {
  switch (element.kind) {
    case 'relay':
    case 'switch':
      return undefined;
    case 'diode':
    case 'clamp':
      return [placeOf(element.anode), placeOf(element.cathode)];
    default:
      return [placeOf(element.a), placeOf(element.b)];
  }
}

interface PinOn {
  box: Box;
  pin: Pin;
}

/** @param terminals words for the rig's own terminals, where the picture is of a build without a rig */
export function drawingOf(style: CircuitStyle, terminals: Readonly<Record<string, string>> = {}): Drawing {
  const neutral = potentials(style);
  const forward = potentials(style, style.positions.forward);
  const parts = style.elements.filter((element) => element.kind !== 'wire');
  const wires = style.elements.filter((element) => element.kind === 'wire');
  const boxes = parts
    .filter((part) => !isInner(part, parts))
    .flatMap((part) => boxesOf(style, part, { neutral, forward }));
  const pinsAt = new Map<string, PinOn[]>();
  for (const box of boxes)
    for (const pin of box.pins) {
      const place = placeOf(pin.node);
      pinsAt.set(place, [...(pinsAt.get(place) ?? []), { box, pin }]);
    }
  const wireEnds = new Map<string, number>();
  for (const { a, b } of wires)
    for (const place of [placeOf(a), placeOf(b)]) wireEnds.set(place, (wireEnds.get(place) ?? 0) + 1);
  const loops = new Set(wires.flatMap((wire) => loopEnd(wire, pinsAt)));
  const joints = new Map<string, Box>();
  for (const place of new Set([...pinsAt.keys(), ...wireEnds.keys()])) {
    const pins = pinsAt.get(place)?.length ?? 0;
    const isTerminal = place.startsWith('rig.') && !MOTOR_ENDS.includes(place);
    if (isTerminal || pins > 2 || pins === 0 || (pins === 2 && wireEnds.has(place)) || loops.has(place))
      joints.set(place, jointAt(style, place, isTerminal, terminals[place]));
  }
  const drawn = new Drawn(style, { pinsAt, joints, level: (node) => neutral(node) + forward(node) / 8 });
  for (const wire of wires) drawn.join(wire.id, wire.a, wire.b, wire.id);
  for (const [place, pins] of pinsAt) drawn.tie(place, pins);
  drawn.turnMotors(boxes);
  return drawn.finished([...boxes, ...joints.values()]);
}

/** A wire from a box back to itself runs by a joint of its own, else it would lie on the box's other wires. */
function loopEnd(
  { a, b }: Extract<StyleElement, { kind: 'wire' }>,
  pinsAt: ReadonlyMap<string, PinOn[]>,
): string[] {
  const [one, other] = [a, b].map((node) => pinsAt.get(placeOf(node)) ?? []);
  const isLoop = one?.length === 1 && other?.length === 1 && one[0]?.box === other[0]?.box;
  return isLoop ? [placeOf(MOTOR_ENDS.includes(placeOf(a)) ? a : b)] : [];
}

const MOTOR_ENDS = ['rig.motor-a', 'rig.motor-b'];

function jointAt(style: CircuitStyle, place: string, isTerminal: boolean, told?: string): Box {
  const words = headed(told ?? style.nodes[place] ?? placeWords(style, place).replace(/^the (?=rig's)/, ''));
  return {
    id: `at ${place}`,
    kind: isTerminal ? 'terminal' : 'joint',
    words,
    pins: [],
    isOrdered: false,
    nodes: [place],
  };
}

/** With a capital, but for a mark such as a1. */
const headed = (words: string): string => (/^[a-z]*\d/.test(words) ? words : capitalised(words));

interface Levels {
  neutral(node: string): number;
  forward(node: string): number;
}

const SAME = 1e-4;
const pinOf = (box: string, mark: string, node: string, side: Side): Pin => ({
  id: `${box} ${mark === '' ? node : mark}`,
  ...{ side, mark, node, ends: [] },
});

function boxesOf(style: CircuitStyle, part: Part, levels: Levels): Box[] {
  const box = (pins: Pin[], more: Partial<Box> = {}): Box => ({
    id: part.id,
    kind: part.kind,
    part: part.id,
    words: headed(elementWords(part)),
    pins,
    isOrdered: true,
    nodes: pins.map(({ node }) => node),
    ...more,
  });
  switch (part.kind) {
    case 'relay': {
      const { '30': common, '85': minus, '86': plus, '87': make, '87a': rest } = part.terminals;
      const throws = [
        ...(make === undefined ? [] : [{ mark: '87', node: make }]),
        ...(rest === undefined ? [] : [{ mark: '87a', node: rest }]),
      ];
      const level = (node: string): number => levels.neutral(node) + levels.forward(node) / 8;
      const plusIsUp = level(plus) >= level(minus);
      return [
        box([
          ...contactPins(part.id, { mark: '30', node: common }, throws, levels),
          pinOf(part.id, '86', plus, plusIsUp ? 'top' : 'bottom'),
          pinOf(part.id, '85', minus, plusIsUp ? 'bottom' : 'top'),
        ]),
      ];
    }
    case 'switch':
      return part.poles.map((pole) => {
        const isOne = part.poles.length === 1;
        const id = isOne ? part.id : `${part.id} ${pole.id}`;
        const throws = [...new Set(Object.values(pole.throws))].map((node) => ({
          mark: markOf(style, node),
          node,
        }));
        const pins = contactPins(id, { mark: markOf(style, pole.common), node: pole.common }, throws, levels);
        const words = isOne
          ? headed(elementWords(part))
          : `${headed(elementWords(part))}, ${pole.id.replaceAll('-', ' ')}`;
        return box(pins, { id, words, pole: pole.id });
      });
    case 'motor':
      return [box([pinOf(part.id, 'A', part.a, 'top'), pinOf(part.id, 'B', part.b, 'top')])];
    case 'diode':
    case 'clamp': {
      const { anode, cathode } = part;
      const isDown =
        levels.forward(anode) + levels.neutral(anode) >= levels.forward(cathode) + levels.neutral(cathode);
      return [
        box([
          pinOf(part.id, isDown ? 'anode' : 'cathode', isDown ? anode : cathode, 'top'),
          pinOf(part.id, isDown ? 'cathode' : 'anode', isDown ? cathode : anode, 'bottom'),
        ]),
      ];
    }
    default: {
      const level = (node: string): number => levels.neutral(node) + levels.forward(node) / 8;
      const [up, down] = level(part.a) >= level(part.b) ? [part.a, part.b] : [part.b, part.a];
      return [box([pinOf(part.id, '', up, 'top'), pinOf(part.id, '', down, 'bottom')])];
    }
  }
}

/** What a switch's terminal is marked with: its short name, or nothing where the style gives it words. */
const markOf = (style: CircuitStyle, node: string): string =>
  style.nodes[node] === undefined && !node.startsWith('rig.') ? node.replaceAll('-', ' ') : '';

/** The moving contact looks away from what feeds it: down unless it is itself the highest. */
function contactPins(
  box: string,
  common: { mark: string; node: string },
  throws: readonly { mark: string; node: string }[],
  { neutral, forward }: Levels,
): Pin[] {
  const at = neutral(common.node);
  const isHighest = throws.every(({ node }) => neutral(node) < at - SAME);
  const isAlike = throws.every(({ node }) => Math.abs(neutral(node) - at) <= SAME);
  const feeds = isHighest || (isAlike && throws.some(({ node }) => forward(node) < forward(common.node)));
  return [
    pinOf(box, common.mark, common.node, feeds ? 'top' : 'bottom'),
    ...throws.map(({ mark, node }) =>
      pinOf(box, mark, node, feeds || neutral(node) < at - SAME ? 'bottom' : 'top'),
    ),
  ];
}

/** Joins pins, and gives joints the pins that they need. */
class Drawn {
  readonly #wires: Wire[] = [];
  readonly #owner = new Map<Pin, Box>();

  constructor(
    readonly style: CircuitStyle,
    private readonly at: {
      pinsAt: ReadonlyMap<string, PinOn[]>;
      joints: ReadonlyMap<string, Box>;
      level: (node: string) => number;
    },
  ) {
    for (const pins of at.pinsAt.values()) for (const { box, pin } of pins) this.#owner.set(pin, box);
  }

  /** A wire between two nodes: from joint or pin to joint or pin. */
  join(id: string, a: string, b: string, part?: string): void {
    const [one, other] = [placeOf(a), placeOf(b)];
    this.#add(id, this.#end(one, b, id), this.#end(other, a, id), part);
  }

  /** Pins on one node: through its joint, or straight where there are two of them and nothing else. */
  tie(place: string, pins: readonly PinOn[]): void {
    const joint = this.at.joints.get(place);
    const [first, second] = pins;
    if (joint === undefined) {
      if (first && second) this.#add(`tie ${place}`, first.pin, second.pin);
      return;
    }
    for (const { pin } of pins) {
      const id = `tie ${pin.id}`;
      this.#add(id, this.#onJoint(joint, id), pin);
    }
  }

  #end(place: string, far: string, id: string): Pin {
    const joint = this.at.joints.get(place);
    if (joint !== undefined) return this.#onJoint(joint, id, far);
    const [only] = this.at.pinsAt.get(place) ?? [];
    if (only === undefined) throw new RangeError(`drawing: nothing stands at ${place}`);
    return only.pin;
  }

  #onJoint(joint: Box, id: string, far?: string): Pin {
    const [place = ''] = joint.nodes;
    const isUp = far !== undefined && this.at.level(far) > this.at.level(place) + SAME;
    const pin = pinOf(`${joint.id} ${id}`, '', place, isUp ? 'top' : 'bottom');
    joint.pins.push(pin);
    this.#owner.set(pin, joint);
    return pin;
  }

  #add(id: string, one: Pin, other: Pin, part?: string): void {
    one.ends.push(id);
    other.ends.push(id);
    this.#wires.push({ id, from: one.id, to: other.id, ...(part === undefined ? {} : { part }) });
  }

  /** A motor's end looks at what it is joined to: up to a pin that looks down, down to one that looks up. */
  turnMotors(boxes: readonly Box[]): void {
    const byId = new Map([...this.#owner.keys()].map((pin) => [pin.id, pin]));
    for (const { kind, pins } of boxes) {
      if (kind !== 'motor') continue;
      for (const pin of pins) {
        const others = this.#wires
          .filter(({ id }) => pin.ends.includes(id))
          .flatMap(({ from, to }) => byId.get(from === pin.id ? to : from) ?? [])
          .filter((other) => this.#owner.get(other)?.isOrdered);
        pin.side = others.length > 0 && others.every(({ side }) => side === 'top') ? 'bottom' : 'top';
      }
    }
  }

  /** Joints look at what they are joined to; every wire runs from the pin that looks down to the one that looks up. */
  finished(boxes: Box[]): Drawing {
    const byId = new Map([...this.#owner.keys()].map((pin) => [pin.id, pin]));
    const wires = this.#wires.map((wire): Wire => {
      const [from, to] = [byId.get(wire.from), byId.get(wire.to)];
      if (from === undefined || to === undefined) return wire;
      const [fromJoint, toJoint] = [from, to].map((pin) => this.#owner.get(pin)?.isOrdered === false);
      if (fromJoint && !toJoint) from.side = opposite(to.side);
      if (toJoint && !fromJoint) to.side = opposite(from.side);
      if (fromJoint && toJoint) {
        from.side = this.at.level(from.node) >= this.at.level(to.node) ? 'bottom' : 'top';
        to.side = opposite(from.side);
      }
      const isTurned =
        from.side === to.side ? this.at.level(from.node) < this.at.level(to.node) : from.side === 'top';
      return isTurned ? { ...wire, from: wire.to, to: wire.from } : wire;
    });
    return { boxes, wires };
  }
}

const opposite = (side: Side): Side => (side === 'top' ? 'bottom' : 'top');
