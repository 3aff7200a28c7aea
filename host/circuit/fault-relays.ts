// Faults of changeover relays and their sockets: terminals exchanged, wrong part, coil, welded and burnt contacts.

import type { CircuitStyle, StyleElement } from '../profile/index.js';
import { type Fault, OPEN_OHM } from './fault-edits.js';
import { elementWords } from './fault-words.js';

type Relay = Extract<StyleElement, { kind: 'relay' }>;
type Terminal = keyof Relay['terminals'];

/** Burnt contact worth finding: 2 V at 4 A, ten times the drop at which a shop rejects one. Common practice, no source. */
const BURNT_OHM = 0.5;
/** Same armature at another voltage: ampere turns and copper volume stay, so resistance goes with voltage squared. */
const COIL_VOLTS = { '24v': 2, '6v': 0.5 } as const;

export function relaysOf(style: CircuitStyle): Relay[] {
  return style.elements.filter((element) => element.kind === 'relay');
}

export function relayFaults(style: CircuitStyle): Fault[] {
  const relays = relaysOf(style);
  return [...relays.flatMap((relay) => oneRelay(relay, relays)), ...bothRelays(relays)];
}

function oneRelay(relay: Relay, relays: readonly Relay[]): Fault[] {
  const k = elementWords(relay);
  const twin = relays.find((each) => each.id !== relay.id);
  const exchange =
    twin === undefined
      ? `Put a known good changeover relay in place of ${k} and throw again.`
      : `Exchange ${k} and ${elementWords(twin)} and throw again: if the fault moves along, it is the relay.`;
  const series = (terminal: Terminal, resistanceOhm: number): Fault['edits'] => [
    { do: 'series', at: { element: relay.id, terminal }, resistanceOhm },
  ];
  const faults: Fault[] = terminalPairs(relay).map(([one, two]) => ({
    id: `${relay.id}-${one}-${two}-exchanged`,
    sentence: `Wires ${one} and ${two} of ${k} are exchanged in the socket.`,
    nextProbe: `Pull ${k} and trace the wires at ${one} and ${two} of its socket.`,
    edits: [
      {
        do: 'exchange',
        first: { element: relay.id, terminal: one },
        second: { element: relay.id, terminal: two },
      },
    ],
  }));
  faults.push(
    {
      id: `${relay.id}-coil-open`,
      sentence: `The coil of ${k} is open between 85 and 86.`,
      nextProbe: `Pull ${k} and measure its coil from 85 to 86: if it is good, look at its wires.`,
      edits: series('86', OPEN_OHM),
    },
    {
      id: `${relay.id}-no-transfer`,
      sentence:
        relay.terminals['87a'] === undefined
          ? `${k} does not pull in although its coil is fed: its armature is stuck.`
          : `${k} does not change over: armature stuck, or contact 30-87a welded.`,
      nextProbe: exchange,
      edits: [{ do: 'set', element: relay.id, values: { stuck: 'break' } }],
    },
    {
      id: `${relay.id}-diode-reversed`,
      sentence: `Wires 85 and 86 of ${k} are exchanged, and its diode shorts the trigger.`,
      nextProbe: `Measure the coil of ${k} both ways with a diode tester: about 0.7 V one way is the diode.`,
      edits: [
        {
          do: 'set',
          element: relay.id,
          values: { suppression: { kind: 'diode', anodeAt: '86', forwardVoltageV: 0.7 } },
        },
      ],
    },
    ...(['24v', '6v'] as const).map((volts) => wrongCoil(relay, volts)),
  );
  if (relay.terminals['87'] !== undefined) {
    faults.push(
      {
        id: `${relay.id}-make-welded`,
        sentence: `Contact 30-87 of ${k} is welded.`,
        nextProbe: exchange,
        edits: [{ do: 'set', element: relay.id, values: { stuck: 'make' } }],
      },
      {
        id: `${relay.id}-make-burnt`,
        sentence: `Contact 30-87 of ${k} is burnt.`,
        nextProbe: `Measure from 30 to 87 of ${k} with the motor running: more than 0.3 V is a burnt contact.`,
        edits: series('87', BURNT_OHM),
      },
      {
        id: `${relay.id}-make-open`,
        sentence: `Contact 30-87 of ${k} does not close although the relay clicks.`,
        nextProbe: exchange,
        edits: series('87', OPEN_OHM),
      },
    );
  }
  if (relay.terminals['87a'] !== undefined) {
    faults.push(
      {
        id: `${relay.id}-break-burnt`,
        sentence: `Contact 30-87a of ${k} is burnt.`,
        nextProbe: `Measure from 30 to 87a of ${k} while it carries the motor: more than 0.3 V is a burnt contact.`,
        edits: series('87a', BURNT_OHM),
      },
      {
        id: `${relay.id}-four-pin`,
        sentence: `${k} is a four-pin relay, or its contact 30-87a does not close.`,
        nextProbe: `Look for 87a on the face of ${k}. ${exchange}`,
        edits: series('87a', OPEN_OHM),
      },
      {
        id: `${relay.id}-dual-87`,
        sentence: `${k} is a double make relay: it has a second 87 in place of 87a.`,
        nextProbe: `Read the face of ${k}: the middle terminal must be 87a.`,
        edits: [{ do: 'double-make', relay: relay.id }],
      },
    );
  }
  return faults;
}

/** Every two terminals that both exist, 85 with 86 apart: that exchange does nothing unless the relay has a diode. */
function terminalPairs(relay: Relay): [Terminal, Terminal][] {
  const names = (['30', '85', '86', '87', '87a'] as const).filter(
    (name) => relay.terminals[name] !== undefined,
  );
  return names.flatMap((one, i) =>
    names
      .slice(i + 1)
      .filter((two) => !(one === '85' && two === '86'))
      .filter((two) => relay.terminals[one] !== relay.terminals[two])
      .map((two): [Terminal, Terminal] => [one, two]),
  );
}

function wrongCoil(relay: Relay, volts: keyof typeof COIL_VOLTS): Fault {
  const ratio = COIL_VOLTS[volts];
  const k = elementWords(relay);
  const scale = (key: string, factor: number) => ({ do: 'scale' as const, element: relay.id, key, factor });
  return {
    id: `${relay.id}-coil-${volts}`,
    sentence: `${k} is a ${volts === '24v' ? '24' : '6'} V relay in a 12 V circuit.`,
    nextProbe: `Measure the coil of ${k} from 85 to 86: ${volts === '24v' ? '250 to 360 Ohm is a 24' : '15 to 30 Ohm is a 6'} V coil.`,
    edits: [
      scale('coilResistanceOhm', ratio * ratio),
      scale('coilInductanceH', ratio * ratio),
      scale('pullInCurrentA', 1 / ratio),
      scale('dropOutCurrentA', 1 / ratio),
    ],
  };
}

function bothRelays(relays: readonly Relay[]): Fault[] {
  const [first, second] = relays;
  if (first?.terminals['87a'] === undefined || second?.terminals['87a'] === undefined) return [];
  const exchange = (relay: Relay) => ({
    do: 'exchange' as const,
    first: { element: relay.id, terminal: '87' },
    second: { element: relay.id, terminal: '87a' },
  });
  return [
    {
      id: `${first.id}-${second.id}-87-87a-exchanged`,
      sentence: `Wires 87 and 87a are exchanged at both ${elementWords(first)} and ${elementWords(second)}.`,
      nextProbe:
        'Measure 87a of both sockets against ground at rest, and ask whether the leads should rest high.',
      edits: [exchange(first), exchange(second)],
    },
  ];
}
