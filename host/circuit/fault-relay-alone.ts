// Further faults of a relay that is judged by itself: what a harness hardly shows, and a bench for relays must find.

import type { Fault } from './fault.js';
import { scale, series, set } from './fault-edits.js';
import { ACROSS_COIL, coilScaled, type Relay, relayFault } from './fault-relays.js';
import { elementWords } from './fault-words.js';

/** Four times the drop at which a shop rejects a contact: 0.8 V at 10 A. Common practice, no source. */
const PITTED_OHM = 0.08;
/** Half the turns shorted: half the resistance left, a quarter of the inductance. */
const HALF = 0.5;
/** Dirt or wear in the hinge. Choice of this model, no source. */
const SLOW = 3;
/** Pull-in of 7 V becomes 9.5 V: the relay that works in winter and not in summer. Choice of this model, no source. */
const STIFF = 1.36;
/** Drop-out of 2.6 V becomes 0.65 V. Choice of this model, no source. */
const STICKY = 0.25;
/** Chatter of a contact whose spring has lost its force, s after the first touch. Choice of this model, no source. */
const CHATTER_S = [0.0008, 0.0016, 0.0025, 0.0035, 0.005, 0.0062, 0.0075, 0.0088];
/** Pitted contacts are what a tester of relays meets oftener than the rest. Common practice, no source. */
const MET_OFTENER = 2;

export function relayAloneFaults(relay: Relay): Fault[] {
  const { '87': make, '87a': rest } = relay.terminals;
  const k = elementWords(relay);
  return [
    ...coilFaults(relay, k),
    ...armatureFaults(relay, k),
    ...(make === undefined ? [] : [pitted(relay, 'make', '87'), bouncing(relay, k)]),
    ...(rest === undefined ? [] : [pitted(relay, 'break', '87a')]),
    relayFault(relay)('30-open', 'open', ['30'], {
      cause: `terminal 30 of ${k} has no way to its contacts`,
      because: 'a broken pigtail or terminal',
      nextProbe: `Unplug ${k} and measure from 30 to 87a: a good one reads next to nothing.`,
      does: 'measure-resistance',
      edits: [series(relay.id, '30')],
    }),
  ];
}

/** What may stand across the coil in place of what belongs there. */
const SUPPRESSIONS = [
  {
    what: 'missing',
    suppression: { kind: 'none' },
    has: 'no suppression, or its resistor or diode is broken',
  },
  {
    what: 'diode',
    suppression: { kind: 'diode', anodeAt: '85', forwardVoltageV: 0.7 },
    has: 'a diode across it',
    because: 'it lets go slowly',
  },
  { what: 'resistor', suppression: { kind: 'resistor', resistanceOhm: 680 }, has: 'a resistor across it' },
];

function coilFaults(relay: Relay, k: string): Fault[] {
  const own = relayFault(relay);
  return [
    ...SUPPRESSIONS.map(({ what, suppression, has, because }) =>
      own(`suppression-${what}`, 'wrong-part', ['85', '86'], {
        cause: `the coil of ${k} has ${has}`,
        ...(because === undefined ? {} : { because }),
        nextProbe: `With an ohmmeter on 85 and 86 of ${k} compare it with a new one; then ${ACROSS_COIL}`,
        does: 'test-diode',
        edits: [set(relay.id, { suppression })],
      }),
    ),
    own('coil-turns-shorted', 'shorted', ['85', '86'], {
      cause: `turns in the coil of ${k} are shorted`,
      nextProbe: `Take the clips off and measure the coil of ${k} from 85 to 86: fewer ohms than a new one are shorted turns.`,
      does: 'measure-resistance',
      edits: [coilScaled(relay.id, HALF, HALF * HALF, 1 / HALF)],
    }),
  ];
}

function armatureFaults(relay: Relay, k: string): Fault[] {
  const { id } = relay;
  const own = relayFault(relay);
  return [
    own('armature-slow', 'worn', [], {
      cause: `the armature of ${k} moves slowly`,
      because: 'dirt, wear or a bent hinge',
      nextProbe: `Open ${k} if it can be opened and move the armature by hand; otherwise replace it.`,
      does: 'feel',
      edits: [scale(id, { operateTravelS: SLOW, releaseTravelS: SLOW })],
    }),
    own('pull-in-high', 'worn', ['85', '86'], {
      cause: `${k} needs too much voltage to pull in`,
      because: 'it works in winter and not in summer',
      nextProbe: `Warm ${k} up with its coil on for ten minutes and measure its pull-in again.`,
      does: 'measure-voltage',
      edits: [scale(id, { pullInCurrentA: STIFF })],
    }),
    own('drop-out-low', 'worn', ['85', '86'], {
      cause: `${k} holds on at a very low voltage`,
      because: 'its armature sticks, or its spring is weak',
      nextProbe: `Turn the coil supply of ${k} slowly down and listen at which voltage it lets go.`,
      does: 'measure-voltage',
      edits: [scale(id, { dropOutCurrentA: STICKY })],
    }),
    own('no-transfer-gap', 'worn', [], {
      cause: `${k} closes one contact before the other is open`,
      because: 'feed and ground meet in it for a moment',
      nextProbe: `Replace ${k}; in a reversing pair it shorts the feed at every throw.`,
      does: 'replace',
      edits: [set(id, { transferS: 1e-5 })],
    }),
  ];
}

function pitted(relay: Relay, side: string, terminal: '87' | '87a'): Fault {
  const k = elementWords(relay);
  return relayFault(relay)(`${side}-pitted`, 'resistance', ['30', terminal], {
    cause: `contact 30-${terminal} of ${k} is pitted or dirty`,
    nextProbe: `Measure from 30 to ${terminal} of ${k} with 10 A flowing: more than 0.2 V is worn out.`,
    does: 'measure-drop',
    edits: [series(relay.id, terminal, PITTED_OHM)],
    commonness: MET_OFTENER,
  });
}

const bouncing = (relay: Relay, k: string): Fault =>
  relayFault(relay)('contacts-bounce', 'worn', [], {
    cause: `the contacts of ${k} bounce too long`,
    because: 'a weak or bent spring',
    nextProbe: `Replace ${k}; look at its contacts for burning.`,
    does: 'replace',
    edits: [set(relay.id, { bounceS: CHATTER_S })],
  });
