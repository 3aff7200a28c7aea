// Circuits that both solvers run: a motor behind a six-terminal switch and behind a relay pair, on a bench with load
// resistors and clamps on both leads. Numbers are typical of a small 12 V gear motor; common practice, no source.

import type {
  CircuitElement,
  ClampElement,
  MotorElement,
  Netlist,
  RelayElement,
} from '../../../host/circuit/index.js';

export const MOTOR: MotorElement = {
  kind: 'motor',
  id: 'm',
  a: 'a',
  b: 'b',
  resistanceOhm: 0.6,
  inductanceH: 2e-4,
  backEmfVsPerRad: 0.03,
  torqueNmPerA: 0.028,
  inertiaKgM2: 5e-5,
  viscousNms: 2e-5,
  coulombNm: 0.04,
  brushDropV: 0.8,
  brushKneeA: 0.3,
  temperatureC: 25,
};

function leadLoad(lead: string): (CircuitElement | ClampElement)[] {
  return [
    { kind: 'resistor', id: `load_${lead}`, a: lead, b: 'ground', resistanceOhm: 10_000 },
    {
      kind: 'clamp',
      id: `clamp_${lead}`,
      anode: 'ground',
      cathode: lead,
      forwardVoltageV: 10,
      clampVoltageV: 27,
      onResistanceOhm: 0.1,
    },
  ];
}

export const SUPPLY: CircuitElement = {
  kind: 'supply',
  id: 'bat',
  plus: 'p',
  minus: 'ground',
  voltageV: 13,
  sourceResistanceOhm: 0.03,
};
const FUSE: CircuitElement = {
  kind: 'fuse',
  id: 'fuse',
  a: 'p',
  b: 'feed',
  ratedA: 30,
  resistanceOhm: 0.003,
  bandPosition: 0.5,
};

/** Switch-carried reversing with open rest: two poles, leads to feed or ground. */
export function switchCircuit(motor: MotorElement = MOTOR, supply: CircuitElement = SUPPLY): Netlist {
  const pole = (id: string, forward: string, reverse: string) => {
    return { id, common: `sw${id}`, throws: { forward, reverse }, contactResistanceOhm: 0.01 };
  };
  return {
    elements: [
      supply,
      FUSE,
      {
        kind: 'switch',
        id: 'sw',
        position: 'rest',
        transferS: 0.003,
        delayS: 0,
        poles: [pole('a', 'feed', 'ground'), pole('b', 'ground', 'feed')],
      },
      { kind: 'wire', id: 'wire_a', a: 'swa', b: 'a', lengthM: 1.5, areaMm2: 1.5, temperatureC: 25 },
      { kind: 'wire', id: 'wire_b', a: 'swb', b: 'b', lengthM: 1.5, areaMm2: 1.5, temperatureC: 25 },
      motor,
      ...leadLoad('a'),
      ...leadLoad('b'),
    ],
  };
}

export const RELAY = {
  coilResistanceOhm: 85,
  coilInductanceH: 0.3,
  closedInductanceRatio: 1,
  pullInCurrentA: 0.07,
  dropOutCurrentA: 0.02,
  operateTravelS: 3e-3,
  releaseTravelS: 2e-3,
  transferS: 8e-4,
  makeResistanceOhm: 0.004,
  breakResistanceOhm: 0.005,
} as const;
export const SUPPRESSION_OHM = 680;
export const TRIGGER_OHM = 0.05;

function relay(id: string, common: string): RelayElement {
  const terminals = { '30': common, '87': 'feed', '87a': 'ground', '86': 'feed', '85': `${id}t` };
  return {
    kind: 'relay',
    id,
    terminals,
    ...RELAY,
    suppression: { kind: 'resistor', resistanceOhm: SUPPRESSION_OHM },
  };
}

/** Relay pair thrown on the ground side, grounded rest; triggers `s1` (forward) and `s2` (reverse). */
export function relayCircuit(motor: MotorElement = MOTOR, supply: CircuitElement = SUPPLY): Netlist {
  const trigger = (id: string, a: string): CircuitElement => {
    return {
      kind: 'contact',
      id,
      a,
      b: 'ground',
      closed: false,
      contactResistanceOhm: TRIGGER_OHM,
      closeDelayS: 0,
      openDelayS: 0,
    };
  };
  return {
    elements: [
      supply,
      FUSE,
      relay('k1', 'k1c'),
      relay('k2', 'k2c'),
      trigger('s1', 'k1t'),
      trigger('s2', 'k2t'),
      { kind: 'wire', id: 'wire_a', a: 'k1c', b: 'a', lengthM: 1.5, areaMm2: 1.5, temperatureC: 25 },
      { kind: 'wire', id: 'wire_b', a: 'k2c', b: 'b', lengthM: 1.5, areaMm2: 1.5, temperatureC: 25 },
      motor,
      ...leadLoad('a'),
      ...leadLoad('b'),
    ],
  };
}
