// From an element of a style plus profile numbers to an element of the netlist.

import { type RelayValues, ripplesPerTurn, type StyleElement } from '../profile/index.js';
import { copperFactor } from './copper.js';
import type { CircuitElement, MotorElement, RelayElement, WireElement } from './netlist.js';
import type { UnitCircuitInput, WireSize } from './unit-input.js';
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
  const { wiring, temperatureC } = input;
  switch (element.kind) {
    case 'wire': {
      const lengthM = element.lengthM ?? wiring.lengthM;
      const ownSize = element.areaMm2 !== undefined || element.awg !== undefined;
      const size = wireSize(ownSize ? element : wiring);
      return [{ kind: 'wire', id: element.id, ...ends(element), lengthM, ...size, temperatureC }];
    }
    case 'resistor':
      return [{ kind: 'resistor', id: element.id, ...ends(element), resistanceOhm: element.resistanceOhm }];
    case 'capacitor':
      return [{ kind: 'capacitor', id: element.id, ...ends(element), capacitanceF: element.capacitanceF }];
    case 'diode':
    case 'clamp': {
      const { title: _, rigOwn: __, ...numbers } = element;
      return [{ ...numbers, anode: placeNode(element.anode), cathode: placeNode(element.cathode) }];
    }
    case 'fuse': {
      const { title: _, rigOwn: __, ...numbers } = element;
      return [{ ...numbers, ...ends(element), bandPosition: 0.5 }];
    }
    case 'protector': {
      const { title: _, rigOwn: __, ...numbers } = element;
      return [{ ...numbers, ...ends(element) }];
    }
    case 'limit': {
      const { title: _, rigOwn: __, ...numbers } = element;
      return [{ ...numbers, ...ends(element) }];
    }
    case 'switch': {
      const bounceS = element.bounceS ?? input.bounceS;
      return [
        {
          kind: 'switch',
          id: element.id,
          position: element.position,
          poles: element.poles.map(({ id, common, throws }) => ({
            id,
            common: placeNode(common),
            throws: Object.fromEntries(Object.entries(throws).map(([name, node]) => [name, placeNode(node)])),
            contactResistanceOhm: element.contactResistanceOhm * (input.contactFactor ?? 1),
          })),
          transferS: element.transferS,
          delayS: element.delayS,
          ...(bounceS === undefined ? {} : { bounceS }),
        },
      ];
    }
    case 'relay':
      return [relayElement(input, element)];
    case 'adjustable-supply': {
      const { a, b } = ends(element);
      return [
        {
          kind: 'supply',
          id: element.id,
          plus: a,
          minus: b,
          voltageV: element.turn,
          turnedByHand: true,
          sourceResistanceOhm: element.sourceResistanceOhm,
        },
      ];
    }
    case 'motor':
      return input.load === undefined ? motorElements(input, element) : [loadElement(input.load, element)];
  }
}

function ends(element: { a: string; b: string }): { a: string; b: string } {
  return { a: placeNode(element.a), b: placeNode(element.b) };
}

function relayElement(
  input: UnitCircuitInput,
  element: Extract<StyleElement, { kind: 'relay' }>,
): RelayElement {
  const { bounceS } = input;
  const relay = input.relays?.[element.id] ?? input.relay;
  if (relay === undefined)
    throw new RangeError(`relayElement: ${element.id} needs relay values, none were given`);
  const terminals = Object.fromEntries(
    Object.entries(element.terminals).flatMap(([name, node]) =>
      node === undefined ? [] : [[name, placeNode(node)]],
    ),
  ) as unknown as RelayElement['terminals'];
  return {
    kind: 'relay',
    id: element.id,
    terminals,
    coilResistanceOhm: relay.coilResistanceOhm * copperFactor(20, input.temperatureC),
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
    ...(bounceS === undefined ? {} : { bounceS }),
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

/** Stands under the motor's id, so that whatever points at the motor finds it. */
function loadElement(
  load: NonNullable<UnitCircuitInput['load']>,
  element: Extract<StyleElement, { kind: 'motor' }>,
): CircuitElement {
  return { kind: 'resistor', id: element.id, ...ends(element), resistanceOhm: load.resistanceOhm };
}

function motorElements(
  input: UnitCircuitInput,
  element: Extract<StyleElement, { kind: 'motor' }>,
): CircuitElement[] {
  const { motor, brushContact, protector } = input;
  const { a, b } = ends(element);
  const behind = protector === undefined ? b : `${element.id}.protected`;
  const inCase: CircuitElement[] =
    protector === undefined
      ? []
      : [{ kind: 'protector', id: `${element.id}.protector`, a: behind, b, ...protector }];
  const inner = brushContact === undefined ? a : `${element.id}.brushed`;
  const values: MotorElement = {
    kind: 'motor',
    id: element.id,
    a: inner,
    b: behind,
    resistanceOhm: motor.resistanceOhm,
    inductanceH: motor.inductanceH,
    backEmfVsPerRad: motor.backEmfVsPerRad,
    torqueNmPerA: motor.torqueNmPerA,
    inertiaKgM2: motor.inertiaKgM2,
    viscousNms: motor.viscousNms,
    coulombNm: motor.coulombNm,
    brushDropV: motor.brushDropV,
    brushKneeA: motor.brushKneeA,
    temperatureC: input.temperatureC,
    ...(motor.ripple === undefined
      ? {}
      : { ripple: { ...motor.ripple, segments: ripplesPerTurn(motor.ripple.segments) } }),
    ...(input.segmentFault === undefined ? {} : { segmentFault: input.segmentFault }),
    ...(motor.suppressionCapacitorF === undefined
      ? {}
      : { suppressionCapacitorF: motor.suppressionCapacitorF }),
    ...(element.endStopsRad === undefined ? {} : { endStopsRad: element.endStopsRad }),
    ...(input.startAngleRad === undefined ? {} : { startAngleRad: input.startAngleRad }),
    ...(input.rotorHeld === undefined ? {} : { rotorHeld: input.rotorHeld }),
  };
  if (brushContact === undefined) return [values, ...inCase];
  const id = `${element.id}.brush`;
  return [
    {
      kind: 'contact',
      id,
      a,
      b: inner,
      closed: true,
      contactResistanceOhm: Math.max(LEAST_BRUSH_OHM, brushContact.extraResistanceOhm),
    },
    // The armature's inductance cannot stop at once: it arcs over until the arc goes out.
    {
      kind: 'clamp',
      id: `${id}-arc`,
      anode: a,
      cathode: inner,
      forwardVoltageV: BRUSH_ARC_V,
      clampVoltageV: BRUSH_ARC_V,
      onResistanceOhm: ARC_SLOPE_OHM,
    },
    { kind: 'resistor', id: `${id}-film`, a, b: inner, resistanceOhm: BRUSH_FILM_OHM },
    values,
    ...inCase,
  ];
}

const wireSize = ({ areaMm2, awg }: WireSize): Pick<WireElement, 'areaMm2' | 'awg'> => ({
  ...(areaMm2 === undefined ? {} : { areaMm2 }),
  ...(awg === undefined ? {} : { awg }),
});
