// Which way current flows through every line of a drawing. Wires and parts with two ends are solved; where a contact sits
// on a joint, what flows follows from Kirchhoff's current law at contact and joint.

import type { Box, Drawing, Pin, Wire } from './drawing.js';
import { placeOf } from './potentials.js';
import { closedTo, type Shown } from './shown.js';

/** A current below it is leakage, not a path. */
const PATH_A = 0.02;

/** Ampere from the upper pin of a line to its lower one, by the line's id; 0 where none flows that makes a path. */
export function flowsOf({ boxes, wires }: Drawing, shown: Shown): ReadonlyMap<string, number> {
  const owner = new Map(
    boxes.flatMap((box) => box.pins.map((pin): [string, [Box, Pin]] => [pin.id, [box, pin]])),
  );
  const flows = new Map<string, number>();
  for (const wire of wires) {
    const known = ofWire(wire, shown, owner);
    if (known !== undefined) flows.set(wire.id, known);
  }
  const laws = boxes.flatMap((box) => lawsOf(box, shown, wires));
  for (let again = true; again; ) {
    again = false;
    for (const lines of laws) {
      const open = lines.filter(({ id }) => !flows.has(id));
      const [only] = open;
      if (only === undefined || open.length > 1) continue;
      const others = lines.reduce((sum, { id, sign }) => sum + sign * (flows.get(id) ?? 0), 0);
      flows.set(only.id, -only.sign * others);
      again = true;
    }
  }
  return new Map([...flows].map(([id, flow]) => [id, Math.abs(flow) < PATH_A ? 0 : flow]));
}

type Owners = ReadonlyMap<string, readonly [Box, Pin]>;

function ofWire({ part, from, to }: Wire, shown: Shown, owner: Owners): number | undefined {
  const [upper, lower] = [owner.get(from), owner.get(to)];
  if (part !== undefined) {
    const element = shown.style.elements.find(({ id }) => id === part);
    const currentA = shown.state.currentA[part];
    if (element?.kind !== 'wire' || currentA === undefined) return undefined;
    return upper !== undefined && placeOf(upper[1].node) === placeOf(element.a) ? currentA : -currentA;
  }
  for (const [at, isUpper] of [
    [upper, true],
    [lower, false],
  ] as const) {
    const intoPart = at === undefined ? undefined : intoPin(at[0], at[1], shown);
    if (intoPart !== undefined) return isUpper ? -intoPart : intoPart;
  }
  return undefined;
}

/** Current into a part by one of its pins, where it has two ends and is solved, or where its contact is open. */
function intoPin(box: Box, pin: Pin, shown: Shown): number | undefined {
  const element = shown.style.elements.find(({ id }) => id === box.part);
  if (element === undefined) return undefined;
  if (element.kind === 'switch' || element.kind === 'relay') return isOpen(box, pin, shown) ? 0 : undefined;
  const currentA = shown.state.currentA[element.id];
  const first = element.kind === 'diode' || element.kind === 'clamp' ? element.anode : element.a;
  return currentA === undefined ? undefined : pin.node === first ? currentA : -currentA;
}

const contactOf = ({ kind, pins }: Box): readonly Pin[] => (kind === 'relay' ? pins.slice(0, -2) : pins);
const isOpen = (box: Box, pin: Pin, shown: Shown): boolean =>
  contactOf(box).slice(1).includes(pin) && closedTo(shown, box) !== pin.node;

interface Line {
  id: string;
  /** 1 where it flows into the box as the drawing counts it. */
  sign: 1 | -1;
}

/** What flows into a joint or through a closed contact adds up to nothing. */
function lawsOf(box: Box, shown: Shown, wires: readonly Wire[]): Line[][] {
  const linesOf = (pins: readonly Pin[]): Line[] =>
    pins.flatMap((pin) =>
      wires.flatMap(({ id, from, to }): Line[] => {
        if (!pin.ends.includes(id)) return [];
        return from === pin.id ? [{ id, sign: -1 }] : to === pin.id ? [{ id, sign: 1 }] : [];
      }),
    );
  if (box.kind === 'joint') return [linesOf(box.pins)];
  if (box.kind !== 'switch' && box.kind !== 'relay') return [];
  const contact = contactOf(box);
  const coil = box.pins.slice(contact.length);
  return [contact.filter((pin) => !isOpen(box, pin, shown)), coil].map(linesOf);
}
