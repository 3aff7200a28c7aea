// The circuits and throws on which the solver is held against SPICE: both main styles, and three faults.

import type { CircuitElement, Netlist, ScheduleEntry } from '../../../host/circuit/index.js';
import { MOTOR, RELAY, relayCircuit, SUPPLY, switchCircuit } from './circuits.js';
import type { Case } from './compare.js';
import { relayTimes, switchTimes } from './throws.js';

/** Voltage at the feed while the motor runs steadily, from torque and voltage balance. */
function runningFeedV(): number {
  const loopOhm = 0.033 + 0.009 + 2 * 0.01758 + MOTOR.resistanceOhm;
  const speedPerA = MOTOR.torqueNmPerA / MOTOR.viscousNms;
  const offset = MOTOR.coulombNm / MOTOR.viscousNms;
  const currentA =
    (13 - MOTOR.brushDropV + MOTOR.backEmfVsPerRad * offset) / (loopOhm + MOTOR.backEmfVsPerRad * speedPerA);
  return 13 - 0.033 * currentA;
}
/** Trigger contact resistance and coil carry the steady coil current. */
const steadyCoilA = (feedV: number) =>
  feedV / (RELAY.coilResistanceOhm + 0.05 * (1 + RELAY.coilResistanceOhm / 680));

function switchCase(
  title: string,
  throws: [number, string][],
  untilS: number,
  netlist: Netlist = switchCircuit(),
): Case {
  const schedule = throws.map(
    ([atS, state]): ScheduleEntry => ({ atS, settings: [{ element: 'sw', state }] }),
  );
  return { title, netlist, times: switchTimes(throws), schedule, untilS };
}

type Span = [number, number];
function relayCase(
  title: string,
  forward: Span[],
  reverse: Span[],
  untilS: number,
  netlist: Netlist = relayCircuit(),
): Case {
  const steadyA = steadyCoilA(runningFeedV());
  const times = {
    ...relayTimes('k1', forward, 13, steadyA),
    ...relayTimes('k2', reverse, 13, steadyA),
    ...triggers(forward, reverse),
  };
  const entries = (id: string, spans: Span[]) =>
    spans.flatMap(([onS, offS]): ScheduleEntry[] => [
      { atS: onS, settings: [{ element: id, state: true }] },
      { atS: offS, settings: [{ element: id, state: false }] },
    ]);
  return { title, netlist, times, schedule: [...entries('s1', forward), ...entries('s2', reverse)], untilS };
}
function triggers(forward: Span[], reverse: Span[]): Case['times'] {
  const of = (spans: Span[]) =>
    spans.flatMap(([onS, offS]): [number, boolean][] => [
      [onS, true],
      [offS, false],
    ]);
  return { s1: of(forward), s2: of(reverse) };
}
function edited(
  netlist: Netlist,
  edit: (element: CircuitElement) => CircuitElement,
  ...added: CircuitElement[]
): Netlist {
  return { elements: [...netlist.elements.map(edit), ...added] };
}

const held = { ...MOTOR, rotorHeld: true };
const jointInLeadA = edited(
  switchCircuit(),
  (e) => (e.id === 'wire_a' && e.kind === 'wire' ? { ...e, b: 'joint' } : e),
  { kind: 'resistor', id: 'joint', a: 'joint', b: 'a', resistanceOhm: 0.5 },
);
const dirtyRestContact = edited(relayCircuit(), (e) =>
  e.id === 'k2' && e.kind === 'relay' ? { ...e, breakResistanceOhm: 1.2 } : e,
);
const shortedWinding = edited(switchCircuit(), (e) => e, {
  kind: 'resistor',
  id: 'short',
  a: 'a',
  b: 'b',
  resistanceOhm: 0.7,
});

/** The cycle that the bench times. */
export const RELAY_CYCLE = relayCase(
  'relay pair: forward, rest, reverse, rest',
  [[0.1, 0.9]],
  [[1.2, 2.0]],
  2.3,
);

export const CASES: Case[] = [
  switchCase(
    'switch: start and coast with open rest',
    [
      [0.02, 'forward'],
      [0.4, 'rest'],
    ],
    0.7,
  ),
  switchCase(
    'switch: reversal with a pause',
    [
      [0.02, 'forward'],
      [0.35, 'rest'],
      [0.45, 'reverse'],
    ],
    0.8,
  ),
  switchCase(
    'switch: reversal without a pause',
    [
      [0.02, 'forward'],
      [0.35, 'reverse'],
    ],
    0.7,
  ),
  {
    ...switchCase(
      'switch: held rotor',
      [
        [0.02, 'forward'],
        [0.12, 'rest'],
      ],
      0.15,
      switchCircuit(held),
    ),
    held: { m: [] },
  },
  switchCase(
    'switch: supply sag and recovery',
    [[0.02, 'forward']],
    0.6,
    switchCircuit(MOTOR, {
      ...SUPPLY,
      voltageV: [
        [0, 13],
        [0.3, 13],
        [0.32, 9],
        [0.4, 9],
        [0.45, 12],
      ],
    } as CircuitElement),
  ),
  switchCase(
    'switch: fan load by speed squared',
    [
      [0.02, 'forward'],
      [0.4, 'rest'],
    ],
    0.6,
    switchCircuit({ ...MOTOR, windageNms2: 6e-7 }),
  ),
  switchCase(
    'switch, fault: 0.5 Ohm joint in lead A',
    [
      [0.02, 'forward'],
      [0.4, 'rest'],
    ],
    0.6,
    jointInLeadA,
  ),
  switchCase(
    'switch, fault: 0.7 Ohm across the leads',
    [
      [0.02, 'forward'],
      [0.4, 'rest'],
    ],
    0.6,
    shortedWinding,
  ),
  relayCase('relay pair: start and dynamic brake', [[0.02, 0.5]], [], 0.7),
  RELAY_CYCLE,
  relayCase('relay pair: reversal without a pause', [[0.02, 0.45]], [[0.45, 0.9]], 1.0),
  relayCase(
    'relay pair: load step',
    [[0.02, 0.9]],
    [],
    0.8,
    relayCircuit({
      ...MOTOR,
      loadNm: [
        [0, 0],
        [0.4, 0],
        [0.401, 0.15],
        [0.6, 0.15],
        [0.601, 0.05],
      ],
    }),
  ),
  relayCase(
    'relay pair, fault: 1.2 Ohm in the rest contact of relay 2',
    [[0.02, 0.5]],
    [],
    0.7,
    dirtyRestContact,
  ),
];
