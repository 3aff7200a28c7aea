// What may befall the rig's electronics, each as sources and parts of the SPICE deck, and what is looked at: the pins that
// have an absolute limit, and the coils that nobody energised. The microcontroller's pins float: blank, in reset or dead.

import { runSpice } from '../references/circuit-spice/engine.js';
import { COIL_OHM, type DeckOptions, netsOf, nodeName, PLANE, rigDeck } from './rig-deck.js';

export interface Mishap {
  /** As RIG.md names it. */
  words: string;
  deck: Partial<DeckOptions>;
  untilS?: number;
  /** Coils that somebody has switched on. */
  switchedOn?: readonly string[];
  /** Coils that what is wrong energises by itself. */
  energised?: readonly string[];
  /** How it must not be built: the limits do not hold. */
  isWarning?: true;
}

export const COILS = ['KL', 'KB', 'KF', 'KR'] as const;
const CHARGED = 'pwl(0 0 5m 12.6)';
const REVERSED = 'pwl(0 0 5m -14.4)';
const USB = ['Vusb n_usb 0 pwl(0 0 5m 5)', 'Rusb n_usb n_5v0 0.5'];

/** A pin of the board that is driven. */
const driven = (pin: string, wave: string): string[] => [
  `V${pin} n_driven_${pin} 0 ${wave}`,
  `R${pin} n_driven_${pin} n_${pin} 30`,
];
/** On lead A at the motor's connector, where the sense wire sits. */
const onLeadA = (wave: string): string[] => [
  'Rclip n_sense_a n_motor_a 0.1',
  `Vlead n_lead 0 ${wave}`,
  'Rlead n_lead n_motor_a 1',
];
/** A contact that opens at 50 ms, within 10 us. */
const opening = (from: string, to: string): string[] => {
  const [a, b] = [nodeName(from), nodeName(to)];
  return [
    'Vc n_closed 0 pwl(0 1 50m 1 50.01m 0)',
    `Bc ${a} ${b} I = v(${a},${b}) * (1e-9 + 200 * v(n_closed))`,
  ];
};
/** 3 Ohm and 1 mH, 4 A: the kick is that of the current alone. */
const motor = (from: string): string[] => [
  `Rm ${from} n_winding 3`,
  'Lm n_winding n_motor_b 1m',
  'Rmotor n_motor_b 0 0.02',
];
/** Both leads rest on ground; a coil of the unit. */
const UNIT = [
  'Ra n_sense_a 0 0.1',
  'Rb n_sense_b 0 0.1',
  'Rma n_motor_a 0 0.1',
  'Rk n_coil_supply n_trigger_forward 60',
];

export const MISHAPS: readonly Mishap[] = [
  { words: 'battery the wrong way round, 14.4 V', deck: { batteryV: REVERSED } },
  { words: 'the same, USB in', deck: { batteryV: REVERSED, sources: USB } },
  // ISO 16750-2, 4.3.1: 24 V for 60 s (value from memory). Nothing here warms up: 60 ms tell the same.
  { words: 'jump start, 24 V', deck: { batteryV: 'pwl(0 0 5m 24)' } },
  // ISO 16750-2, 4.6.4, test B: 35 V where the alternator clamps, up to 0.4 s, through 0.5 Ohm (values from memory).
  {
    words: 'load dump of a clamped alternator, 35 V',
    deck: { batteryV: 'pwl(0 0 5m 13.5 30m 13.5 40m 35)', batteryOhm: 0.5 },
    untilS: 0.2,
  },
  { words: 'lead A at +20 V', deck: { sources: onLeadA('pwl(0 0 30m 0 31m 20)') } },
  {
    words: 'lead A at +20 V, rig without power',
    deck: { batteryV: '0', sources: onLeadA('pwl(0 0 30m 0 31m 20)') },
  },
  { words: 'lead A at -30 V', deck: { sources: onLeadA('pwl(0 0 30m 0 30.01m -30)') } },
  {
    words: 'USB alone, no battery',
    deck: { batteryV: '0', instead: { S0: ['Rs0 n_isolated n_supply 1e9'] }, sources: USB },
  },
  { words: 'cable off', deck: {} },
  {
    words: 'Q1 shorted, drain to source',
    deck: { instead: { Q1: ['Rq1 n_kl_low 0 0.1'] } },
    energised: ['KL'],
  },
  // The channel burnt away, the gate on the drain: nothing is worse for the pin.
  { words: 'Q1 shorted, drain to gate', deck: { instead: { Q1: ['Rq1 n_kl_low n_g1 0.1'] } } },
  { words: 'Q11 shorted, drain to gate', deck: { instead: { Q11: ['Rq11 n_kf_low n_gate_kf 0.1'] } } },
  {
    words: 'STOP pressed, all on but KR',
    deck: {
      pulledIn: ['KS', 'KL', 'KB', 'KF'],
      sources: ['pd4', 'pd5', 'pd6'].flatMap((pin) => driven(pin, 'pwl(0 0 20m 0 20.1m 5)')),
      instead: { S1: opening('LOOP_PLUS', 'LOOP') },
    },
    switchedOn: ['KL', 'KB', 'KF'],
  },
  {
    words: 'a switch opens a running motor, 4 A',
    deck: {
      pulledIn: ['KS', 'KB'],
      instead: { M: [...opening('FEED', 'LEAD-A'), ...motor('n_motor_a')] },
      sources: ['Rclip n_sense_a n_motor_a 0.1', 'Rclipb n_sense_b n_motor_b 0.1'],
    },
  },
  {
    words: 'isolator opened, motor running, 4 A',
    deck: {
      pulledIn: ['KS', 'KB'],
      instead: { S0: opening('ISOLATED', 'SUPPLY'), M: motor('n_feed') },
    },
  },
  {
    words: 'a trigger lets go of a coil of the unit',
    deck: {
      sources: [
        'Rk n_coil_supply n_k 60',
        'Lk n_k n_trigger_forward 0.3',
        ...driven('pd6', 'pwl(0 0 10m 0 10.1m 5 50m 5 50.01m 0)'),
      ],
    },
    switchedOn: ['KF'],
  },
  { words: 'both wires of the ground plane off', deck: { ground: 'plane-open', sources: UNIT } },
  {
    words: 'never so: microcontroller on a ground wire of its own, and that off',
    deck: {
      ground: 'board-alone-open',
      sources: [...UNIT, ...['pd4', 'pd5', 'pd6', 'pd7'].map((pin) => `R${pin} n_${pin} ${PLANE} 30`)],
    },
    energised: ['KL', 'KB'],
    isWarning: true,
  },
];

const PINS = [
  'ADC0',
  'ADC1',
  'ADC2',
  'ADC3',
  'ADC4',
  'ADC5',
  'ADC6',
  'PD2',
  'PD3',
  'PD4',
  'PD5',
  'PD6',
  'PD7',
  'PB0',
];

export interface Worst {
  volts: number;
  part: string;
}

/** The worst that each kind of pin sees, and what each coil carries. */
export interface Seen {
  /** Beyond its own rail or below its own ground. */
  pin: Worst;
  senseHigh: Worst;
  senseLow: Worst;
  bufferBeyond: Worst;
  regulator: Worst;
  gate: Worst;
  drain: Worst;
  /** Current of each coil times its resistance: the voltage that would hold it so. */
  coilV: Record<string, number>;
}

export async function seen({ deck, untilS = 0.06 }: Mishap): Promise<Seen> {
  const nets = netsOf(deck.ground);
  const net = (pin: string): string => {
    const found = nets.get(pin);
    if (found === undefined) throw new Error(`no pin ${pin}`);
    return found;
  };
  const transistors = [...nets.keys()].flatMap((pin) => /^(Q\d+)\.g$/.exec(pin)?.[1] ?? []);
  const pins = PINS.map((pin) => `U6.${pin}`);
  const senses = ['U1', 'U2', 'U3'].flatMap((ref) => [`${ref}.p`, `${ref}.n`]);
  const buffers = ['U4:1.p', 'U4:2.p', 'U4:3.p', 'U7.p', 'U7.n'];
  const ends = transistors.flatMap((ref) => [`${ref}.g`, `${ref}.d`, `${ref}.s`]);
  const watched = [...pins, ...senses, ...buffers, ...ends, 'U6.5V', 'U6.GND', 'U5.IN', 'U5.GND'].map(net);
  const result = await runSpice(
    rigDeck({
      batteryV: CHARGED,
      isAlive: true,
      ...deck,
      save: [
        ...[...new Set(watched)].filter((node) => node !== '0').map((node) => `v(${node})`),
        ...COILS.map((coil) => `i(L${coil})`),
      ],
      analysis: `.tran 100u ${untilS} 0 200u`,
    }),
  );
  const zero = new Float64Array(result.timeS.length);
  const v = (pin: string): Float64Array => (net(pin) === '0' ? zero : result.column(`v(${net(pin)})`));
  const [ground, rail] = [v('U6.GND'), v('U6.5V')];
  const worst = (of: readonly (readonly [string, (i: number) => number])[]): Worst =>
    of
      .map(([part, voltsAt]) => ({
        part,
        volts: zero.reduce((most, _, i) => Math.max(most, voltsAt(i)), -1e9),
      }))
      .reduce((a, b) => (b.volts > a.volts + 1e-3 ? b : a));
  const minus = ({ part, volts }: Worst): Worst => ({ part, volts: -volts });
  const beyond = (list: readonly string[]): Worst =>
    worst(
      list.map((pin) => {
        const at = v(pin);
        return [
          (pin.startsWith('U6') ? pin.split('.')[1] : pin.split('.')[0]) ?? pin,
          (i) => Math.max(at[i]! - Math.max(rail[i]!, ground[i]!), ground[i]! - at[i]!),
        ] as const;
      }),
    );
  const between = (pin: 'g' | 'd'): Worst =>
    worst(
      transistors.map((ref) => {
        const [at, source] = [v(`${ref}.${pin}`), v(`${ref}.s`)];
        return [ref, (i) => Math.abs(at[i]! - source[i]!)] as const;
      }),
    );
  const sense = (sign: 1 | -1): Worst =>
    worst(
      senses.map((pin) => {
        const at = v(pin);
        return [pin.slice(0, 2), (i) => sign * (at[i]! - ground[i]!)] as const;
      }),
    );
  const [into, under] = [v('U5.IN'), v('U5.GND')];
  return {
    pin: beyond(pins),
    senseHigh: sense(1),
    senseLow: minus(sense(-1)),
    bufferBeyond: beyond(buffers),
    regulator: worst([['U5', (i) => into[i]! - under[i]!]]),
    gate: between('g'),
    drain: between('d'),
    coilV: Object.fromEntries(
      COILS.map((coil) => [
        coil,
        COIL_OHM *
          result.column(`i(l${coil.toLowerCase()})`).reduce((most, a) => Math.max(most, Math.abs(a)), 0),
      ]),
    ),
  };
}
