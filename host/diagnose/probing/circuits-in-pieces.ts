// A circuit as a person can take it apart: whole, with two relays exchanged, with the motor unplugged, the motor by
// itself, one relay out of its socket. Which values are in it is up to whoever builds it.

import {
  type CircuitElement,
  type Fault,
  faultsOfUnit,
  GROUND,
  type Netlist,
  type UnitCircuit,
} from '../../circuit/index.js';
import type { ResolvedUnit } from '../../profile/index.js';

/** So that nothing floats when parts are taken out; a megohm meter would not see it. */
const LEAK_OHM = 1e9;
const OPEN_PLUG_OHM = 1e9;

export class CircuitsInPieces {
  readonly #faults: Fault[];
  readonly #wholes = new Map<string, UnitCircuit>();

  /** @param present ids of the faults in it. @param build the whole circuit with these faults in it. */
  constructor(
    readonly unit: ResolvedUnit,
    readonly present: readonly string[],
    readonly build: (faults: string[]) => UnitCircuit,
  ) {
    this.#faults = faultsOfUnit(unit);
  }

  whole(): UnitCircuit {
    return this.#built(this.present);
  }

  /** The bodies of two relays change places; what is wrong in a socket or wire stays. */
  exchanged(one: string, two: string): UnitCircuit {
    return this.#built(
      this.present.map((id) => {
        const relay = [one, two].find((each) => this.#isInBody(each, id));
        if (relay === undefined) return id;
        const moved = `${relay === one ? two : one}${id.slice(relay.length)}`;
        return this.#faults.some((fault) => fault.id === moved) ? moved : id;
      }),
    );
  }

  /** What is wrong inside the motor goes with it. */
  unplugged(): UnitCircuit {
    const { motorId } = this.whole();
    const circuit = this.#built(this.present.filter((id) => !this.#isInMotor(motorId, id)));
    const elements = circuit.netlist.elements.flatMap((element): CircuitElement[] => {
      // An open plug in the motor's place, so that whoever reads the motor's current reads none.
      if (element.id === motorId && 'a' in element)
        return [{ kind: 'resistor', id: motorId, a: element.a, b: element.b, resistanceOhm: OPEN_PLUG_OHM }];
      // What the motor's travel opens stays as it is, for it does not travel.
      if (element.kind === 'limit')
        return [{ ...plain(element), kind: 'resistor', resistanceOhm: element.contactResistanceOhm }];
      return isOf(motorId, element.id) ? [] : [element];
    });
    return { ...circuit, netlist: grounded({ elements }) };
  }

  /** The motor on its plug, rotor free, nothing else joined. */
  motorAlone(): { netlist: Netlist; a: string; b: string; motorId: string } {
    const { motorId } = this.whole();
    const inMotor = this.present.filter((id) => this.#isInMotor(motorId, id));
    const { elements } = this.#built(inMotor).netlist;
    const kept = elements.filter(
      ({ id }) => isOf(motorId, id) || inMotor.some((fault) => id.startsWith(`${fault}-`)),
    );
    return { netlist: grounded({ elements: kept }), a: 'rig.motor-a', b: 'rig.motor-b', motorId };
  }

  /** One relay out of its socket. */
  relayAlone(relayId: string): { netlist: Netlist; terminals: Record<string, string> } {
    const inBody = this.present.filter((id) => this.#isInBody(relayId, id));
    const { elements } = this.#built(inBody).netlist;
    const kept = elements.filter(
      ({ id }) =>
        id === relayId || id === `${relayId}~twin` || inBody.some((fault) => id.startsWith(`${fault}-`)),
    );
    const socket = this.unit.style.elements.find(({ id }) => id === relayId);
    const terminals = socket?.kind === 'relay' ? { ...socket.terminals } : {};
    return { netlist: grounded({ elements: kept }), terminals: terminals as Record<string, string> };
  }

  #built(faults: readonly string[]): UnitCircuit {
    const key = faults.join(' ');
    const built = this.#wholes.get(key) ?? this.build([...faults]);
    this.#wholes.set(key, built);
    return built;
  }

  #isInMotor(motorId: string, id: string): boolean {
    const fault = this.#faults.find((each) => each.id === id);
    return (
      fault?.edits.every((edit) => {
        if (edit.do === 'bridge') return id.startsWith(`${motorId}-`);
        return 'at' in edit ? edit.at.element === motorId : 'element' in edit && edit.element === motorId;
      }) ?? false
    );
  }

  /** Exchanged wires lie in the socket, and so does what a relay's diode makes of them. */
  #isInBody(relayId: string, id: string): boolean {
    const fault = this.#faults.find((each) => each.id === id);
    if (id.endsWith('-diode-reversed')) return false;
    return (
      fault?.edits.every((edit) => {
        if (edit.do === 'double-make') return edit.relay === relayId;
        if (edit.do === 'series') return edit.at.element === relayId;
        return (edit.do === 'set' || edit.do === 'scale') && edit.element === relayId;
      }) ?? false
    );
  }
}

const plain = ({ id, a, b }: { id: string; a: string; b: string }) => ({ id, a, b });
const isOf = (motorId: string, id: string): boolean => id === motorId || id.startsWith(`${motorId}.`);

/** Every node with a leak to ground, so that a part by itself can be solved. */
function grounded({ elements }: Netlist): Netlist {
  const nodes = new Set(elements.flatMap(nodesOf));
  nodes.delete(GROUND);
  const leaks = [...nodes].map((node): CircuitElement => {
    return { kind: 'resistor', id: `leak ${node}`, a: node, b: GROUND, resistanceOhm: LEAK_OHM };
  });
  return { elements: [...elements, ...leaks] };
}

function nodesOf(element: CircuitElement): string[] {
  switch (element.kind) {
    case 'relay':
      return Object.values(element.terminals).filter((node) => node !== undefined);
    case 'switch':
      return element.poles.flatMap(({ common, throws }) => [common, ...Object.values(throws)]);
    case 'supply':
      return [element.plus, element.minus];
    case 'diode':
    case 'clamp':
      return [element.anode, element.cathode];
    default:
      return [element.a, element.b];
  }
}
