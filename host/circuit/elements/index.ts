// From a netlist element to the part that stamps it. A new kind of element is one file and one line here.

import type { CircuitElement } from '../netlist.js';
import type { Layout } from '../solver/layout.js';
import { CapacitorPart } from './capacitor.js';
import { ContactPart } from './contact.js';
import { clampPart, diodePart } from './diode.js';
import { FusePart } from './fuse.js';
import { InductorPart } from './inductor.js';
import { LimitPart } from './limit.js';
import { MotorPart } from './motor.js';
import type { Part } from './part.js';
import { ProtectorPart } from './protector.js';
import { RelayPart } from './relay.js';
import { resistorPart, wirePart } from './resistor.js';
import { SupplyPart } from './supply.js';
import { SwitchPart } from './switch.js';

/** The parts of one element; a motor with a suppression capacitor is two. */
export function partsOf(element: CircuitElement, layout: Layout): Part[] {
  switch (element.kind) {
    case 'supply':
      return [new SupplyPart(element, layout)];
    case 'resistor':
      return [resistorPart(element, layout)];
    case 'wire':
      return [wirePart(element, layout)];
    case 'inductor':
      return [new InductorPart(element, layout)];
    case 'capacitor':
      return [new CapacitorPart(element, layout)];
    case 'diode':
      return [diodePart(element, layout)];
    case 'clamp':
      return [clampPart(element, layout)];
    case 'contact':
      return [new ContactPart(element, layout)];
    case 'limit':
      return [new LimitPart(element, layout)];
    case 'switch':
      return [new SwitchPart(element, layout)];
    case 'relay':
      return [new RelayPart(element, layout)];
    case 'fuse':
      return [new FusePart(element, layout)];
    case 'protector':
      return [new ProtectorPart(element, layout)];
    case 'motor': {
      const motor = new MotorPart(element, layout);
      const capacitanceF = element.suppressionCapacitorF ?? 0;
      if (capacitanceF === 0) return [motor];
      const { id, a, b } = element;
      return [motor, new CapacitorPart({ id: `${id}.suppression`, a, b, capacitanceF }, layout)];
    }
  }
}
