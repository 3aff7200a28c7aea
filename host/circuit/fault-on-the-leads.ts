// What else hangs on the motor's leads: a second motor beside the one that is meant, a lamp that feeds back from a live
// wire. Both leave every wire of the harness in order.

import type { StyleElement } from '../profile/index.js';
import { type Fault, faultOf } from './fault.js';
import { bridge, type FaultEdit } from './fault-edits.js';
import type { Wire } from './fault-wires.js';
import { elementWords } from './fault-words.js';

type Motor = Extract<StyleElement, { kind: 'motor' }>;

/** Lit lamps of 21 and 5 W and an instrument lamp of 1.2 W, at 13 V. */
const LAMP_W = { turnSignal: 21, side: 5, instrument: 1.2 };
const LAMP_V = 13;
const lampOhm = (powerW: number): number => LAMP_V ** 2 / powerW;
/** Both are met less often than a fault of the wire itself. Common practice, no source. */
const SELDOM = 0.5;

/** On the harness's side of the rig's shunt: the feed carries both motors, the shunt in lead A only the one that is meant. */
export function secondMotorFaults(motor: Motor, leads: readonly Wire[]): Fault[] {
  const [a, b] = leads;
  if (a === undefined || b === undefined) return [];
  return [
    faultOf(leads, 'second-motor', 'misplaced', {
      id: 'second-motor',
      cause: 'a second motor hangs on the same two leads of the harness',
      because: 'the feed carries both',
      nextProbe:
        'Follow both motor leads through the harness, unplug whatever else hangs on them, and throw again.',
      does: 'disconnect',
      at: [a.b, b.b],
      commonness: SELDOM,
      edits: [{ do: 'second-motor', motor: motor.id, a: a.b, b: b.b }],
    }),
  ];
}

/** A lamp between a motor lead and a wire that is live at rest too. */
export function lampFaults(leads: readonly Wire[]): Fault[] {
  return leads.map((lead) => {
    const words = elementWords(lead);
    const lit = (powerW: number): FaultEdit[] => [bridge(lead.a, 'rig.feed', lampOhm(powerW))];
    return faultOf([lead], 'lamp-feeds-back', 'misplaced', {
      cause: `a lamp or indicator feeds ${words} from a live wire`,
      nextProbe: `Feed on, nothing thrown: take lamps and indicators off ${words} one by one until no current flows.`,
      does: 'disconnect',
      at: [lead.a],
      commonness: SELDOM,
      edits: lit(LAMP_W.side),
      further: [LAMP_W.turnSignal, LAMP_W.instrument].map(lit),
    });
  });
}
