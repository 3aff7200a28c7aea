// Faults of changeover relays and their sockets: terminals exchanged, wrong part, coil, welded and burnt contacts.

import type { CircuitStyle, StyleElement } from '../profile/index.js';
import { type Fault, type FaultKind, faultOf, type StatedFault } from './fault.js';
import { exchange, type FaultEdit, scale, series, set } from './fault-edits.js';
import { pairFaults } from './fault-relay-pairs.js';
import { elementWords } from './fault-words.js';

export type Relay = Extract<StyleElement, { kind: 'relay' }>;
export type Terminal = keyof Relay['terminals'];

/** Burnt contact worth finding: 2 V at 4 A, ten times the drop at which a shop rejects one. Common practice, no source. */
const BURNT_OHM = 0.5;
/** Same armature at another voltage: ampere turns and copper volume stay, so resistance goes with voltage squared. */
const COILS = [
  { volts: 24, ratio: 2, coilOhm: '220 to 360' },
  { volts: 6, ratio: 0.5, coilOhm: '15 to 30' },
] as const;
/** Of the pull-in voltage: a cold 24 V relay that just answers to a 12 V supply, as many do (tolerance of pull-in, common practice, no source). */
const JUST_PULLS_IN = 0.75;

/**
 * A diode beside 85 Ohm is hidden from a meter's own diode range. 12 V through 470 Ohm leave 1.8 V on the winding alone.
 */
export const ACROSS_COIL =
  'put 12 V through 470 Ω on its 85 and 86, both ways: 1.8 V there is a bare coil, 0.7 V one way a diode.';

const relaysOf = (style: CircuitStyle): Relay[] =>
  style.elements.filter((element) => element.kind === 'relay');

/** Makes faults of one relay that name terminals of it. */
export const relayFault =
  (relay: Relay) =>
  (what: string, kind: FaultKind, marks: readonly Terminal[], stated: StatedFault): Fault =>
    faultOf([relay], what, kind, {
      marks: marks.map((mark) => ({ part: relay.id, mark })),
      at: marks.flatMap((mark) => relay.terminals[mark] ?? []),
      ...stated,
    });

/** Another winding on the same armature. */
export const coilScaled = (id: string, ohm: number, henry: number, current: number): FaultEdit =>
  scale(id, {
    coilResistanceOhm: ohm,
    coilInductanceH: henry,
    pullInCurrentA: current,
    dropOutCurrentA: current,
  });

/** `isAlone`: nothing but the relay is judged, which is another mix of relays than those of a harness. */
export function relayFaults(style: CircuitStyle, isAlone = false): Fault[] {
  const relays = relaysOf(style);
  const each = relays.map((relay) => oneRelay(relay, relays, isAlone));
  const [first, second] = relays;
  const pairs =
    first === undefined || second === undefined
      ? []
      : pairFaults(`${elementWords(first)} and ${elementWords(second)}`, each[0] ?? [], each[1] ?? []);
  return [...each.flat(), ...bothRelays(relays), ...pairs];
}

/** What the faults of one relay are made with. */
interface Making {
  relay: Relay;
  /** What it is called. */
  k: string;
  own: ReturnType<typeof relayFault>;
  /** What hands meet oftenest: in a harness, and among relays that somebody tests by themselves. Common practice, no source. */
  met(inHarness: number, alone: number): number;
  /** Another relay in its place. */
  exchangeRelay: Pick<StatedFault, 'does' | 'nextProbe'>;
}

function oneRelay(relay: Relay, relays: readonly Relay[], isAlone: boolean): Fault[] {
  const k = elementWords(relay);
  const twin = relays.find((each) => each.id !== relay.id);
  const making: Making = {
    relay,
    k,
    own: relayFault(relay),
    met: (inHarness, alone) => (isAlone ? alone : inHarness),
    exchangeRelay:
      twin === undefined
        ? {
            does: 'replace',
            nextProbe: `Put a known good changeover relay in place of ${k} and throw again.`,
          }
        : {
            does: 'exchange',
            nextProbe: `Exchange ${k} and ${elementWords(twin)} and throw again: if the fault moves along, it is the relay.`,
          },
  };
  return [
    ...exchangedFaults(making),
    ...coilFaults(making),
    ...(relay.terminals['87'] === undefined ? [] : makeFaults(making)),
    ...(relay.terminals['87a'] === undefined ? [] : breakFaults(making)),
  ];
}

const exchangedFaults = ({ relay, k, own, met }: Making): Fault[] =>
  terminalPairs(relay).map(([one, two]) =>
    own(`${one}-${two}-exchanged`, 'exchanged', [one, two], {
      cause: `wires ${one} and ${two} of ${k} are exchanged in the socket`,
      nextProbe: `Pull ${k} and trace the wires at ${one} and ${two} of its socket.`,
      does: 'trace',
      edits: [exchange({ element: relay.id, terminal: one }, { element: relay.id, terminal: two })],
      commonness: one === '87' && two === '87a' ? met(2, 1) : 1,
    }),
  );

function coilFaults({ relay: { id, terminals }, k, own, met, exchangeRelay }: Making): Fault[] {
  return [
    own('coil-open', 'open', ['85', '86'], {
      cause: `the coil of ${k} is open between 85 and 86`,
      nextProbe: `Pull ${k} and measure its coil from 85 to 86: if it is good, look at its wires.`,
      does: 'measure-resistance',
      edits: [series(id, '86')],
      commonness: met(3, 2),
    }),
    own('no-transfer', 'stuck', terminals['87a'] === undefined ? [] : ['30', '87a'], {
      ...(terminals['87a'] === undefined
        ? { cause: `${k} does not pull in although its coil is fed`, because: 'its armature is stuck' }
        : { cause: `${k} does not change over`, because: 'armature stuck, or contact 30-87a welded' }),
      ...exchangeRelay,
      edits: [set(id, { stuck: 'break' })],
    }),
    own('diode-reversed', 'exchanged', ['85', '86'], {
      cause: `wires 85 and 86 of ${k} are exchanged, and its diode shorts the trigger`,
      nextProbe: `Pull ${k} and ${ACROSS_COIL}`,
      does: 'test-diode',
      // Whatever the relay was, it has a diode now, the right way round by its own marks.
      edits: [
        exchange({ element: id, terminal: '85' }, { element: id, terminal: '86' }),
        set(id, { suppression: { kind: 'diode', anodeAt: '85', forwardVoltageV: 0.7 } }),
      ],
      commonness: met(1, 2),
    }),
    ...COILS.map(({ volts, ratio, coilOhm }) => {
      const edits = [coilScaled(id, ratio * ratio, ratio * ratio, 1 / ratio)];
      return own(`coil-${volts}v`, 'wrong-part', ['85', '86'], {
        cause: `${k} is a ${volts} V relay in a 12 V circuit`,
        nextProbe: `Pull ${k} and measure its coil from 85 to 86: ${coilOhm} Ω is a ${volts} V coil.`,
        does: 'measure-resistance',
        edits,
        // One for twice the voltage may pull in all the same: then only its coil current, by its resistance, shows it.
        further: ratio > 1 ? [[...edits, scale(id, { pullInCurrentA: JUST_PULLS_IN })]] : [],
      });
    }),
  ];
}

const burnt = ({ relay, k, own, met }: Making, side: string, terminal: '87' | '87a', when: string): Fault =>
  own(`${side}-burnt`, 'resistance', ['30', terminal], {
    cause: `contact 30-${terminal} of ${k} is burnt`,
    nextProbe: `Measure from 30 to ${terminal} of ${k} ${when}: more than 0.3 V is a burnt contact.`,
    does: 'measure-drop',
    edits: [series(relay.id, terminal, BURNT_OHM)],
    commonness: met(1.5, 2),
    comesInDegrees: true,
  });

function makeFaults(making: Making): Fault[] {
  const { relay, k, own, met, exchangeRelay } = making;
  return [
    own('make-welded', 'welded', ['30', '87'], {
      cause: `contact 30-87 of ${k} is welded`,
      ...exchangeRelay,
      edits: [set(relay.id, { stuck: 'make' })],
      commonness: met(1, 2),
    }),
    burnt(making, 'make', '87', 'with the motor running'),
    own('make-open', 'open', ['30', '87'], {
      cause: `contact 30-87 of ${k} does not close although the relay clicks`,
      ...exchangeRelay,
      edits: [series(relay.id, '87')],
    }),
  ];
}

function breakFaults(making: Making): Fault[] {
  const { relay, k, own, met, exchangeRelay } = making;
  return [
    burnt(making, 'break', '87a', 'while it carries the motor'),
    own('four-pin', 'wrong-part', ['30', '87a'], {
      cause: `${k} is a four-pin relay, or its contact 30-87a does not close`,
      nextProbe: `Look for 87a on the face of ${k}. ${exchangeRelay.nextProbe}`,
      does: 'look',
      edits: [series(relay.id, '87a')],
      commonness: met(1.5, 2),
    }),
    own('dual-87', 'wrong-part', ['87', '87a'], {
      cause: `${k} is a double make relay`,
      because: 'it has a second 87 in place of 87a',
      nextProbe: `Read the face of ${k}: the middle terminal must be 87a.`,
      does: 'look',
      edits: [{ do: 'double-make', relay: relay.id }],
    }),
  ];
}

/** Every two terminals that both exist, 85 with 86 apart: that exchange does nothing unless the relay has a diode. */
function terminalPairs({ terminals }: Relay): [Terminal, Terminal][] {
  const names = (['30', '85', '86', '87', '87a'] as const).filter((name) => terminals[name] !== undefined);
  return names.flatMap((one, i) =>
    names
      .slice(i + 1)
      .filter((two) => !(one === '85' && two === '86'))
      .filter((two) => terminals[one] !== terminals[two])
      .map((two): [Terminal, Terminal] => [one, two]),
  );
}

function bothRelays([first, second]: readonly Relay[]): Fault[] {
  if (first?.terminals['87a'] === undefined || second?.terminals['87a'] === undefined) return [];
  const both = [first, second];
  return [
    faultOf(both, 'both-87-87a-exchanged', 'exchanged', {
      id: `${first.id}-${second.id}-87-87a-exchanged`,
      marks: both.flatMap(({ id: part }) => ['87', '87a'].map((mark) => ({ part, mark }))),
      cause: `wires 87 and 87a are exchanged at both ${elementWords(first)} and ${elementWords(second)}`,
      nextProbe:
        'Measure 87a of both sockets against ground at rest, and ask whether the leads should rest high.',
      does: 'measure-voltage',
      at: both.flatMap(({ terminals }) => terminals['87a'] ?? []),
      edits: both.map(({ id: element }) =>
        exchange({ element, terminal: '87' }, { element, terminal: '87a' }),
      ),
      commonness: 2,
    }),
  ];
}
