// Further faults of a relay that is judged by itself: what a harness hardly shows, and a bench for relays must find.

import type { StyleElement } from '../profile/index.js';
import { type Fault, type FaultEdit, OPEN_OHM } from './fault-edits.js';
import { elementWords } from './fault-words.js';

type Relay = Extract<StyleElement, { kind: 'relay' }>;

/** Four times the drop at which a shop rejects a contact: 0.8 V at 10 A. Common practice, no source. */
const PITTED_OHM = 0.08;
/** Half the turns shorted: half the resistance left, a quarter of the inductance. */
const HALF = 0.5;
/** Dirt or wear in the hinge. Choice of this model, no source. */
const SLOW = 3;
/** Pull-in of 7 V becomes 9.5 V: the relay that works in winter and not in summer. Choice of this model, no source. */
const STIFF = 1.36;
/** Chatter of a contact whose spring has lost its force, s after the first touch. Choice of this model, no source. */
const CHATTER_S = [0.0008, 0.0016, 0.0025, 0.0035, 0.005, 0.0062, 0.0075, 0.0088];

export function relayAloneFaults(relay: Relay): Fault[] {
  const { id } = relay;
  const k = elementWords(relay);
  const scale = (key: string, factor: number): FaultEdit => ({ do: 'scale', element: id, key, factor });
  const set = (values: Readonly<Record<string, unknown>>): FaultEdit => ({ do: 'set', element: id, values });
  const coilTester = `Measure the coil of ${k} both ways with an ohmmeter and with a diode tester.`;
  const faults: Fault[] = [
    {
      id: `${id}-suppression-missing`,
      sentence: `The coil of ${k} has no suppression, or its resistor or diode is broken.`,
      nextProbe: coilTester,
      edits: [set({ suppression: { kind: 'none' } })],
    },
    {
      id: `${id}-suppression-diode`,
      sentence: `The coil of ${k} has a diode across it: it lets go slowly.`,
      nextProbe: coilTester,
      edits: [set({ suppression: { kind: 'diode', anodeAt: '85', forwardVoltageV: 0.7 } })],
    },
    {
      id: `${id}-suppression-resistor`,
      sentence: `The coil of ${k} has a resistor across it.`,
      nextProbe: coilTester,
      edits: [set({ suppression: { kind: 'resistor', resistanceOhm: 680 } })],
    },
    {
      id: `${id}-coil-turns-shorted`,
      sentence: `Turns in the coil of ${k} are shorted.`,
      nextProbe: `Measure the coil of ${k} from 85 to 86 and compare it with a new one.`,
      edits: [
        scale('coilResistanceOhm', HALF),
        scale('coilInductanceH', HALF * HALF),
        scale('pullInCurrentA', 1 / HALF),
        scale('dropOutCurrentA', 1 / HALF),
      ],
    },
    {
      id: `${id}-armature-slow`,
      sentence: `The armature of ${k} moves slowly: dirt, wear or a bent hinge.`,
      nextProbe: `Open ${k} if it can be opened and move the armature by hand; otherwise replace it.`,
      edits: [scale('operateTravelS', SLOW), scale('releaseTravelS', SLOW)],
    },
    {
      id: `${id}-pull-in-high`,
      sentence: `${k} needs too much voltage to pull in: it works in winter and not in summer.`,
      nextProbe: `Warm ${k} up with its coil on for ten minutes and measure its pull-in again.`,
      edits: [scale('pullInCurrentA', STIFF)],
    },
    {
      id: `${id}-drop-out-low`,
      sentence: `${k} holds on at a very low voltage: its armature sticks, or its spring is weak.`,
      nextProbe: `Turn the coil supply of ${k} slowly down and listen at which voltage it lets go.`,
      edits: [scale('dropOutCurrentA', 0.25)],
    },
    {
      id: `${id}-no-transfer-gap`,
      sentence: `${k} closes one contact before the other is open: feed and ground meet in it for a moment.`,
      nextProbe: `Replace ${k}; in a reversing pair it shorts the feed at every throw.`,
      edits: [set({ transferS: 1e-5 })],
    },
  ];
  if (relay.terminals['87'] !== undefined) {
    faults.push(
      {
        id: `${id}-make-pitted`,
        sentence: `Contact 30-87 of ${k} is pitted or dirty.`,
        nextProbe: `Measure from 30 to 87 of ${k} with 10 A flowing: more than 0.2 V is worn out.`,
        edits: [{ do: 'series', at: { element: id, terminal: '87' }, resistanceOhm: PITTED_OHM }],
      },
      {
        id: `${id}-contacts-bounce`,
        sentence: `The contacts of ${k} bounce too long: a weak or bent spring.`,
        nextProbe: `Replace ${k}; look at its contacts for burning.`,
        edits: [set({ bounceS: CHATTER_S })],
      },
    );
  }
  if (relay.terminals['87a'] !== undefined) {
    faults.push({
      id: `${id}-break-pitted`,
      sentence: `Contact 30-87a of ${k} is pitted or dirty.`,
      nextProbe: `Measure from 30 to 87a of ${k} with 10 A flowing: more than 0.2 V is worn out.`,
      edits: [{ do: 'series', at: { element: id, terminal: '87a' }, resistanceOhm: PITTED_OHM }],
    });
  }
  faults.push({
    id: `${id}-30-open`,
    sentence: `Terminal 30 of ${k} has no way to its contacts: a broken pigtail or terminal.`,
    nextProbe: `Measure from 30 to 87a of ${k} at rest.`,
    edits: [{ do: 'series', at: { element: id, terminal: '30' }, resistanceOhm: OPEN_OHM }],
  });
  return faults;
}
