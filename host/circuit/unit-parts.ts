// From an element of a style plus profile numbers to an element of the netlist.

import { type RelayValues, ripplesPerTurn, type StyleElement } from '../profile/index.js';
import { COIL_REFERENCE_C, copperFactor } from './copper.js';
import type { WireElement } from './elements/resistor.js';
import type { CircuitElement, MotorElement, RelayElement } from './netlist.js';
import type { UnitCircuitInput } from './unit-input.js';
import { placeNode } from './unit-rig.js';

/** Voltage at which an arc between opening brush and bar goes out. Common practice, no source. */
const BRUSH_ARC_V = 18;
const ARC_SLOPE_OHM = 0.1;
/** Carbon film and dust across a lifted brush. Choice of this model: it takes over what the dying arc leaves. */
const BRUSH_FILM_OHM = 2000;
/** A brush contact of no resistance would be a short between two unknowns. */
const LEAST_BRUSH_OHM = 1e-4;
/** A moving armature takes time, whatever the profile's figures leave for it. */
const LEAST_TRAVEL_S = 0.0002;
/** The unsuppressed winding's decay is set by core loss, 100 times the copper resistance (elements/relay.ts). */
const CORE_LOSS_RATIO = 100;

export function styleElements(input: UnitCircuitInput, element: StyleElement): CircuitElement[] {
  // Title and owner are for people.
  const { title: _title, rigOwn: _rigOwn, inPlaceOf: _inPlaceOf, ...stated } = element;
  switch (stated.kind) {
    case 'wire':
      return [wireElement(input, stated)];
    case 'resistor':
    case 'capacitor':
    case 'protector':
    case 'limit':
      return [{ ...stated, ...ends(stated) }];
    case 'fuse':
      return [{ ...stated, ...ends(stated), bandPosition: 0.5 }];
    case 'diode':
    case 'clamp': {
      const { anode, cathode } = stated;
      return [{ ...stated, anode: placeNode(anode), cathode: placeNode(cathode) }];
    }
    case 'switch': {
      const { kind, id, position, poles, contactResistanceOhm, transferS, delayS, bounceS } = stated;
      const placed = poles.map((pole) => ({
        id: pole.id,
        common: placeNode(pole.common),
        throws: Object.fromEntries(
          Object.entries(pole.throws).map(([name, node]) => [name, placeNode(node)]),
        ),
        contactResistanceOhm: contactResistanceOhm * (input.contactFactor ?? 1),
      }));
      return [{ kind, id, position, poles: placed, transferS, delayS, bounceS: bounceS ?? input.bounceS }];
    }
    case 'relay':
      return [relayElement(input, stated)];
    case 'adjustable-supply': {
      const { a: plus, b: minus } = ends(stated);
      const { id, turn: voltageV, sourceResistanceOhm } = stated;
      return [{ kind: 'supply', id, plus, minus, voltageV, turnedByHand: true, sourceResistanceOhm }];
    }
    case 'motor': {
      // A load stands under the motor's id, so that whatever points at the motor finds it.
      const { load } = input;
      if (load === undefined) return motorElements(input, stated);
      return [{ kind: 'resistor', id: stated.id, ...ends(stated), resistanceOhm: load.resistanceOhm }];
    }
  }
}

function ends(element: { a: string; b: string }): { a: string; b: string } {
  return { a: placeNode(element.a), b: placeNode(element.b) };
}

/** A wire of the style: of its own length and size where it states them, else of the unit's wiring. */
export function wireElement(
  { wiring, temperatureC }: Pick<UnitCircuitInput, 'wiring' | 'temperatureC'>,
  element: Extract<StyleElement, { kind: 'wire' }>,
): WireElement {
  const { kind, id, lengthM = wiring.lengthM } = element;
  const { areaMm2, awg } = element.areaMm2 === undefined && element.awg === undefined ? wiring : element;
  return { kind, id, ...ends(element), lengthM, areaMm2, awg, temperatureC };
}

function relayElement(
  input: UnitCircuitInput,
  { kind, id, terminals }: Extract<StyleElement, { kind: 'relay' }>,
): RelayElement {
  const relay = input.relays?.[id] ?? input.relay;
  if (relay === undefined) throw new RangeError(`relayElement: ${id} needs relay values, none were given`);
  const { '87': make, '87a': rest } = terminals;
  return {
    kind,
    id,
    terminals: {
      '30': placeNode(terminals['30']),
      '85': placeNode(terminals['85']),
      '86': placeNode(terminals['86']),
      ...(make === undefined ? {} : { '87': placeNode(make) }),
      ...(rest === undefined ? {} : { '87a': placeNode(rest) }),
    },
    coilResistanceOhm: relay.coilResistanceOhm * copperFactor(COIL_REFERENCE_C, input.temperatureC),
    coilInductanceH: relay.coilInductanceH,
    closedInductanceRatio: relay.closedInductanceRatio,
    // The armature answers to ampere turns: currents stay, whatever the coil's temperature.
    pullInCurrentA: relay.pullInVoltageV / relay.coilResistanceOhm,
    dropOutCurrentA: relay.dropOutVoltageV / relay.coilResistanceOhm,
    ...travelTimes(relay),
    transferS: relay.transferS,
    makeResistanceOhm: relay.makeResistanceOhm,
    breakResistanceOhm: relay.breakResistanceOhm,
    suppression: relay.suppression,
    bounceS: input.bounceS,
  };
}

/**
 * What is left of the sheet's operate and release times for the armature's travel, once the coil current's own rise or
 * fall at nominal voltage, unsuppressed, and the transfer are taken off. Operate: coil energised to make contact closed;
 * release: coil off to break contact closed (Panasonic, "Relay terminology: electrical performance").
 */
export function travelTimes(relay: RelayValues): { operateTravelS: number; releaseTravelS: number } {
  const { coilResistanceOhm, coilInductanceH, pullInVoltageV, dropOutVoltageV, nominalVoltageV, transferS } =
    relay;
  const riseS =
    (coilInductanceH / coilResistanceOhm) * -Math.log(1 - Math.min(0.99, pullInVoltageV / nominalVoltageV));
  const fallS =
    ((coilInductanceH * relay.closedInductanceRatio) / (coilResistanceOhm * (1 + CORE_LOSS_RATIO))) *
    Math.log(nominalVoltageV / dropOutVoltageV);
  return {
    operateTravelS: Math.max(LEAST_TRAVEL_S, relay.operateS - riseS - transferS),
    releaseTravelS: Math.max(LEAST_TRAVEL_S, relay.releaseS - fallS - transferS),
  };
}

function motorElements(
  input: UnitCircuitInput,
  { kind, id, endStopsRad, ...joined }: Extract<StyleElement, { kind: 'motor' }>,
): CircuitElement[] {
  const { motor, brushContact, protector } = input;
  const { a, b } = ends(joined);
  const partOf = id;
  const behind = protector === undefined ? b : `${id}.protected`;
  const inner = brushContact === undefined ? a : `${id}.brushed`;
  const itself: MotorElement = {
    kind,
    id,
    a: inner,
    b: behind,
    resistanceOhm: motor.resistanceOhm,
    inductanceH: motor.inductanceH,
    backEmfVsPerRad: motor.backEmfVsPerRad,
    torqueNmPerA: motor.torqueNmPerA,
    inertiaKgM2: motor.inertiaKgM2,
    viscousNms: motor.viscousNms,
    coulombNm: motor.coulombNm,
    reverseFrictionRatio: motor.reverseFrictionRatio,
    brushDropV: motor.brushDropV,
    brushKneeA: motor.brushKneeA,
    temperatureC: input.temperatureC,
    ripple: motor.ripple && { ...motor.ripple, segments: ripplesPerTurn(motor.ripple.segments) },
    segmentFault: input.segmentFault,
    suppressionCapacitorF: motor.suppressionCapacitorF,
    endStopsRad,
    startAngleRad: input.startAngleRad,
    rotorHeld: input.rotorHeld,
  };
  return [
    ...(brushContact === undefined ? [] : brushElements(id, { a, b: inner }, brushContact)),
    itself,
    ...(protector === undefined
      ? []
      : [{ kind: 'protector' as const, id: `${id}.protector`, partOf, a: behind, b, ...protector }]),
  ];
}

/** A brush that may lift off, between two nodes. */
function brushElements(
  partOf: string,
  between: { a: string; b: string },
  { extraResistanceOhm }: NonNullable<UnitCircuitInput['brushContact']>,
): CircuitElement[] {
  const id = brushContactOf(partOf);
  const contactResistanceOhm = Math.max(LEAST_BRUSH_OHM, extraResistanceOhm);
  const brush = { ...between, closed: true, contactResistanceOhm, closeDelayS: 0, openDelayS: 0 };
  // The armature's inductance cannot stop at once: it arcs over until the arc goes out.
  const arcs = { forwardVoltageV: BRUSH_ARC_V, clampVoltageV: BRUSH_ARC_V, onResistanceOhm: ARC_SLOPE_OHM };
  return [
    { kind: 'contact', id, partOf, ...brush },
    { kind: 'clamp', id: `${id}-arc`, partOf, anode: between.a, cathode: between.b, ...arcs },
    { kind: 'resistor', id: `${id}-film`, partOf, ...between, resistanceOhm: BRUSH_FILM_OHM },
  ];
}

/** Id of the contact that a motor's lifting brush is in the netlist. */
export const brushContactOf = (motorId: string): string => `${motorId}.brush`;
