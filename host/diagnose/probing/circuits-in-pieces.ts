// A circuit as a person can take it apart: whole, with two relays exchanged, with the motor unplugged, the motor by
// itself, one relay out of its socket. Which values are in it is up to whoever builds it.

import {
  type CircuitElement,
  type Fault,
  faultsOfUnit,
  GROUND,
  joinedNodes,
  type Netlist,
  type UnitCircuit,
} from '../../circuit/index.js';
import { type ResolvedUnit, terminalsOf } from '../../profile/index.js';

/** So that nothing floats when parts are taken out; a megohm meter would not see it. */
const LEAK_OHM = 1e9;
const OPEN_PLUG_OHM = 1e9;

export class CircuitsInPieces {
  readonly #faults: readonly Fault[];
  readonly #wholes = new Map<string, UnitCircuit>();

  /** @param present the faults in it. @param build the whole circuit with these faults in it. */
  constructor(
    readonly unit: ResolvedUnit,
    readonly present: readonly Fault[],
    readonly build: (faults: readonly Fault[]) => UnitCircuit,
  ) {
    this.#faults = faultsOfUnit(unit);
  }

  whole(): UnitCircuit {
    return this.#built(this.present);
  }

  /** The bodies of two relays change places; what is wrong in a socket or wire stays. */
  exchanged(one: string, two: string): UnitCircuit {
    return this.#built(
      this.present.map((fault) => {
        if (isInBody(one, fault)) return this.#movedTo(two, fault);
        return isInBody(two, fault) ? this.#movedTo(one, fault) : fault;
      }),
    );
  }

  /** The same fault, at the same strength, of another part; as it is where that cannot have it. */
  #movedTo(part: string, fault: Fault): Fault {
    const moved = this.#faults.find(({ what, parts }) => what === fault.what && parts[0]?.id === part);
    return moved ? { ...moved, edits: moved.ways[fault.ways.indexOf(fault.edits)] ?? moved.edits } : fault;
  }

  /** What is wrong inside the motor goes with it. */
  unplugged(): UnitCircuit {
    const { motorId } = this.whole();
    const circuit = this.#built(this.present.filter((fault) => !isInMotor(fault)));
    const elements = circuit.netlist.elements.flatMap((element): CircuitElement[] => {
      // An open plug in the motor's place, so that whoever reads the motor's current reads none.
      if (element.id === motorId && 'a' in element)
        return [{ kind: 'resistor', id: motorId, a: element.a, b: element.b, resistanceOhm: OPEN_PLUG_OHM }];
      // What the motor's travel opens stays as it is, for it does not travel.
      if (element.kind === 'limit')
        return [{ ...plain(element), kind: 'resistor', resistanceOhm: element.contactResistanceOhm }];
      return isOf(motorId, element) ? [] : [element];
    });
    return { ...circuit, netlist: grounded({ elements }) };
  }

  /** The motor on its plug, rotor free, nothing else joined. */
  motorAlone(): { netlist: Netlist; a: string; b: string; motorId: string } {
    const { motorId } = this.whole();
    const { elements } = this.#built(this.present.filter(isInMotor)).netlist;
    const netlist = grounded({ elements: elements.filter((element) => isOf(motorId, element)) });
    return { netlist, a: 'rig.motor-a', b: 'rig.motor-b', motorId };
  }

  /** One relay out of its socket. */
  relayAlone(relayId: string): { netlist: Netlist; terminals: Record<string, string> } {
    const { elements } = this.#built(this.present.filter((fault) => isInBody(relayId, fault))).netlist;
    const socket = this.unit.style.elements.find(({ id }) => id === relayId);
    return {
      netlist: grounded({ elements: elements.filter((element) => isOf(relayId, element)) }),
      terminals: Object.fromEntries(socket === undefined ? [] : terminalsOf(socket)),
    };
  }

  #built(faults: readonly Fault[]): UnitCircuit {
    const key = faults.map(({ id }) => id).join(' ');
    const built = this.#wholes.get(key) ?? this.build(faults);
    this.#wholes.set(key, built);
    return built;
  }
}

/** Of the motor, or of the load on its plug: what is unplugged. */
const isInMotor = ({ owner }: Fault): boolean => owner === 'motor' || owner === 'load';

/** Exchanged wires lie in the socket, and so does what a relay's diode makes of them. */
const isInBody = (relayId: string, { parts: [part], kind }: Fault): boolean =>
  part?.kind === 'relay' && part.id === relayId && kind !== 'exchanged';

const plain = ({ id, a, b }: { id: string; a: string; b: string }) => ({ id, a, b });
const isOf = (part: string, { id, partOf }: CircuitElement): boolean => id === part || partOf === part;

/** Every node with a leak to ground, so that a part by itself can be solved. */
function grounded({ elements }: Netlist): Netlist {
  const nodes = new Set(elements.flatMap(joinedNodes));
  nodes.delete(GROUND);
  const leaks = [...nodes].map((node): CircuitElement => {
    return { kind: 'resistor', id: `leak ${node}`, a: node, b: GROUND, resistanceOhm: LEAK_OHM };
  });
  return { elements: [...elements, ...leaks] };
}
