// The rig's own sheets as a SPICE deck: the text that draws the pictures, part by part, for what the circuit does when it is
// wired wrongly. Ratings that the sheets do not state stand in the models below, each with where it comes from.

import { readdirSync, readFileSync } from 'node:fs';
import { type Part, parseSheet } from '../../firmware-protocol/schematic/parse.js';

const FOLDER = new URL('../../firmware-protocol/schematic/', import.meta.url);

/** 12 V coils up to 0.2 A (RIG.md, section 4): 60 Ohm is the strongest of them, which pulls in at the least voltage. */
export const COIL_OHM = 60;
/** Of such a coil with its armature pulled in: 5 ms of L/R (common practice, no source). */
const COIL_H = 0.3;
const CLOSED_OHM = 0.005;
const OPEN_OHM = 1e9;
/** From every net to ground: what floats is solved, and nothing else notices. */
const LEAK_OHM = 1e10;
/** Board 50 mA, amplifiers and references 30 mA (RIG.md, section 5.12). */
const BOARD_OHM = 5 / 0.08;

const MODELS = [
  // A rectifier diode: 0.75 V at 0.1 A (common data sheet figure).
  '.model rectifier d(is=1n n=1.6 rs=0.05)',
  // A low-leakage diode of silicon: 0.55 V at 0.1 mA, nanoamperes back (common data sheet figures).
  '.model lowleak d(is=10p n=1.35 rs=1)',
  // A Schottky diode of 3 A: 0.4 V at 1 A, and hot it lets some tenths of a milliampere back (common data sheet figures).
  '.model schottky d(is=2u n=1.1 rs=0.05)',
  // A small Schottky diode: 0.3 V at 10 mA (common data sheet figure).
  '.model small_schottky d(is=200n n=1.05 rs=2)',
  // Logic-level and high-side transistors, on at 1.7 V and more; the body diode is drawn beside them.
  '.model low nmos(level=1 vto=1.7 kp=5)',
  '.model high pmos(level=1 vto=-2 kp=5)',
];

/** Deck names are lower case and know no hyphen; the star is node 0. */
export const nodeName = (net: string): string =>
  net === 'GND' ? '0' : `n_${net.toLowerCase().replace(/[^a-z0-9]/g, '_')}`;

/** The board's ground plane, where the star is not what it hangs on. */
export const PLANE = 'n_plane';

/** By what an amplifier of the sheets is taken; RIG.md, section 4, asks for no worse. */
export interface AmplifierFigures {
  cornerHz: number;
  /** Of the input: what a common mode of 1 V does to it. */
  commonModeDb: number;
}
const AMPLIFIER: AmplifierFigures = { cornerHz: 100e3, commonModeDb: 110 };

export interface DeckOptions {
  /** The battery goes from nothing to this within a second, so slowly that every instant is a steady state; or a source. */
  batteryV: number | string;
  /** In series with the battery. */
  batteryOhm?: number;
  /** Further lines: sources, by net. */
  sources?: readonly string[];
  /** In place of a part; none takes it out. */
  instead?: Readonly<Record<string, readonly string[]>>;
  /** Contacts of these relays are closed. */
  pulledIn?: readonly string[];
  /** Amplifiers and regulator at work, rather than no more than a load. */
  isAlive?: boolean;
  amplifier?: Partial<AmplifierFigures>;
  /** Where the grounds on the board hang: on the star, on a plane whose wires are off, or the microcontroller's alone so. */
  ground?: 'star' | 'plane-open' | 'board-alone-open';
  analysis?: string;
  save?: readonly string[];
}

/** Grounds on the board's plane: sheets 2 to 4 and the rail, but not what carries the current of motor and feed. */
const isOnPlane = (sheet: string, ref: string): boolean =>
  ref.startsWith('T')
    ? /^T1\d$/.test(ref) || ref === 'T2'
    : !sheet.startsWith('1') || /^(U5|C1|C2)$/.test(ref);

interface Drawn {
  parts: Map<string, Part>;
  /** Node of every pin, `U6.GND`. */
  nets: Map<string, string>;
}

function drawn(ground: DeckOptions['ground'] = 'star'): Drawn {
  const nets = new Map<string, string>();
  const parts = new Map<string, Part>();
  for (const file of readdirSync(FOLDER).filter((name) => name.endsWith('.sheet'))) {
    const sheet = parseSheet(readFileSync(new URL(file, FOLDER), 'utf8'));
    for (const [ref, part] of sheet.parts) parts.set(ref, part);
    for (const net of sheet.nets.values())
      for (const { ref, pin } of net.pins) {
        const isLifted =
          net.name === 'GND' &&
          (ground === 'plane-open'
            ? isOnPlane(file, ref)
            : ground === 'board-alone-open' && /^(U5|U6|C1|C2|T2)$/.test(ref));
        nets.set(`${ref}.${pin}`, isLifted ? PLANE : nodeName(net.name));
      }
  }
  return { parts, nets };
}

/** Node of every pin. */
export const netsOf = (ground?: DeckOptions['ground']): ReadonlyMap<string, string> => drawn(ground).nets;

/** Every part of every sheet; the microcontroller leaves its outputs floating. */
export function rigDeck(options: DeckOptions): string {
  const { batteryV, sources = [], instead = {} } = options;
  const { parts, nets } = drawn(options.ground);
  const ground = nets.get('U6.GND') ?? '0';
  const breakdowns = new Set<number>();
  const lines = [...parts].flatMap(([ref, part]) => {
    if (instead[ref]) return instead[ref];
    const at = (pin: string): string => {
      const net = nets.get(`${ref}.${pin}`);
      if (net === undefined) throw new Error(`${ref}.${pin} is on no net`);
      return net;
    };
    return linesOf(ref, part, { at, ground, breakdowns, options });
  });
  const nodes = new Set(nets.values());
  const leaks = [...nodes]
    .filter((net) => net !== '0')
    .map((net, index) => `Rleak${index} ${net} 0 ${LEAK_OHM}`);
  const zeners = [...breakdowns].map(
    (volts) => `.model ${zenerModel(volts)} d(is=1n n=1.6 rs=0.5 bv=${volts} ibv=1m)`,
  );
  const battery = typeof batteryV === 'number' ? `pwl(0 0 1 ${batteryV})` : batteryV;
  const { analysis = '.tran 10m 1', save } = options;
  const tail = [...(save ? [`.save ${save.join(' ')}`] : []), analysis, '.end'];
  const deck = ['rig', ...lines, ...leaks, ...MODELS, ...zeners, ...sources, ...tail];
  return deck.join('\n').replace('BATTERY_V', battery);
}

const zenerModel = (volts: number): string => `zener${String(volts).replace('.', 'p')}`;

const PREFIX: Readonly<Record<string, number>> = { k: 1e3, M: 1e6, n: 1e-9, p: 1e-12, µ: 1e-6, m: 1e-3 };

/** `150 kΩ`, `0.1 Ω 3 W`, `22 nF`, and `60 A / 75 mV` in ohms. */
export function sizeOf(ref: string, values: readonly string[]): number {
  for (const value of values) {
    const plain = /([\d.]+)\s*([kMnpµm])?(Ω|F)/.exec(value);
    if (plain) return Number(plain[1]) * (PREFIX[plain[2] ?? ''] ?? 1);
    const shunt = /([\d.]+) A \/ ([\d.]+) mV/.exec(value);
    if (shunt) return Number(shunt[2]) / 1000 / Number(shunt[1]);
  }
  throw new Error(`${ref} has no value among ${values.join(', ')}`);
}

function voltsOf(ref: string, values: readonly string[]): number {
  const found = values.map((value) => /([\d.]+) V/.exec(value)).find((match) => match !== null);
  if (!found) throw new Error(`${ref} has no voltage among ${values.join(', ')}`);
  return Number(found[1]);
}

interface Place {
  at: At;
  /** Of the board. */
  ground: string;
  breakdowns: Set<number>;
  options: DeckOptions;
}

function linesOf(ref: string, part: Part, { at, ground, breakdowns, options }: Place): string[] {
  const id = ref.replace(/[^A-Za-z0-9]/g, '_');
  const isPulledIn = options.pulledIn?.includes(ref.split(':')[0] ?? '') === true;
  const resistor = (from: string, to: string, ohm: number, tail = ''): string =>
    `R${id}${tail} ${at(from)} ${at(to)} ${ohm}`;
  const zener = (anode: string, cathode: string, volts: number, tail = ''): string => {
    breakdowns.add(volts);
    return `D${id}${tail} ${anode} ${cathode} ${zenerModel(volts)}`;
  };
  switch (part.kind) {
    case 'battery':
      return [`VBT n_cell ${at('n')} BATTERY_V`, `RBT n_cell ${at('p')} ${options.batteryOhm ?? CLOSED_OHM}`];
    case 'fuse':
    case 'isolator':
    case 'stop':
      return [resistor('a', 'b', CLOSED_OHM)];
    case 'contact':
      return [resistor('a', 'b', isPulledIn ? CLOSED_OHM : OPEN_OHM)];
    case 'changeover':
      return [
        resistor('c', 'r', isPulledIn ? OPEN_OHM : CLOSED_OHM),
        resistor('c', 'o', isPulledIn ? CLOSED_OHM : OPEN_OHM, 'o'),
      ];
    case 'shunt':
      return [
        resistor('a', 'b', sizeOf(ref, part.values)),
        resistor('a', 'p', CLOSED_OHM, 'p'),
        resistor('b', 'n', CLOSED_OHM, 'n'),
      ];
    case 'resistor':
      return [resistor('a', 'b', sizeOf(ref, part.values))];
    case 'coil':
      return [`R${id} ${at('a')} n_in_${id} ${COIL_OHM}`, `L${id} n_in_${id} ${at('b')} ${COIL_H}`];
    case 'diode':
    case 'led': {
      const model = part.values.includes('Schottky')
        ? part.values.length > 1
          ? 'schottky'
          : 'small_schottky'
        : part.values.length > 0
          ? 'rectifier'
          : 'lowleak';
      return [`D${id} ${at('a')} ${at('k')} ${model}`];
    }
    case 'zener':
      return [zener(at('a'), at('k'), voltsOf(ref, part.values))];
    case 'tvs': {
      // Both ways alike: two against each other. It breaks down 12 % above its stand-off (common data sheet figure).
      const volts = 1.12 * voltsOf(ref, part.values);
      return [zener(`n_mid_${id}`, at('a'), volts, 'a'), zener(`n_mid_${id}`, at('b'), volts, 'b')];
    }
    case 'nmos':
      return [
        `M${id} ${at('d')} ${at('g')} ${at('s')} ${at('s')} low`,
        `D${id}body ${at('s')} ${at('d')} rectifier`,
      ];
    case 'pmos':
      return [
        `M${id} ${at('d')} ${at('g')} ${at('s')} ${at('s')} high`,
        `D${id}body ${at('d')} ${at('s')} rectifier`,
      ];
    case 'senseamp':
      return [
        `R${id}p ${at('p')} 0 1e6`,
        `R${id}n ${at('n')} 0 1e6`,
        ...(options.isAlive ? senseAmplifier(id, at, { ...AMPLIFIER, ...options.amplifier }, ground) : []),
      ];
    case 'opamp':
      return [
        `R${id}p ${at('p')} 0 1e9`,
        `R${id}n ${at('n')} 0 1e9`,
        ...(options.isAlive ? (at('n') === at('o') ? buffer : looped)(id, at, ground) : []),
      ];
    case 'block':
      // The board and the serial bridge float.
      if (ref === 'U6' && options.isAlive) return [`R${id} ${at('5V')} ${at('GND')} ${BOARD_OHM}`];
      if (ref !== 'U5') return [];
      return [
        // The regulator's own draw, as a resistor.
        `R${id} ${at('IN')} ${at('GND')} 1000`,
        // Half a volt of drop; gives up to 0.3 A and takes none back.
        ...(options.isAlive
          ? [
              `B${id} ${at('IN')} ${at('OUT')} I = min(0.3, max(0, 100 * (min(5.0008, v(${at('IN')},${at('GND')}) - 0.5) - v(${at('OUT')},${at('GND')}))))`,
            ]
          : []),
      ];
    case 'capacitor':
    case 'electrolytic':
      return options.isAlive ? [`C${id} ${at('a')} ${at('b')} ${sizeOf(ref, part.values)}`] : [];
    case 'terminal':
    case 'motor':
      return [];
    default:
      throw new Error(`${ref}: what a ${part.kind} is in a deck is not known`);
  }
}

const GAIN = 50;
/** How near its rails an output comes (RIG.md, section 4), and what it gives way by. */
const TO_RAIL_V = 0.02;
const OUTPUT_OHM = 10;
/** Of an operational amplifier, common data sheet figure: a buffer's corner lies far above everything else here. */
const GAIN_BANDWIDTH_HZ = 5e6;

/** Between the rails of the board, as long as the board has any. */
const output = (id: string, out: string, ground: string): string[] => [
  `B${id}o n_o_${id} ${ground} V = max(0, min(v(n_5v0,${ground}) - ${TO_RAIL_V}, max(${TO_RAIL_V}, v(n_y_${id},${ground}))))`,
  `R${id}o n_o_${id} ${out} ${OUTPUT_OHM}`,
];

/** One pole, then the rails, fed forward: a loop with limits in it latches in the engine. */
const limited = (id: string, ideal: string, cornerHz: number, out: string, ground: string): string[] => [
  `B${id}x n_x_${id} ${ground} V = ${ideal}`,
  `R${id}x n_x_${id} n_y_${id} 1000`,
  `C${id}x n_y_${id} ${ground} ${1 / (2 * Math.PI * 1000 * cornerHz)}`,
  ...output(id, out, ground),
];

type At = (pin: string) => string;

function senseAmplifier(id: string, at: At, figures: AmplifierFigures, ground: string): string[] {
  const commonMode = `${10 ** (-figures.commonModeDb / 20)} * v(${at('n')},${ground})`;
  const zero = `(v(${at('r1')},${ground}) + v(${at('r2')},${ground})) / 2`;
  const ideal = `${GAIN} * (v(${at('p')},${at('n')}) + ${commonMode}) + ${zero}`;
  return limited(id, ideal, figures.cornerHz, at('o'), ground);
}

const buffer = (id: string, at: At, ground: string): string[] =>
  limited(id, `v(${at('p')},${ground})`, GAIN_BANDWIDTH_HZ, at('o'), ground);

/** An amplifier with a loop of its own: it integrates what its inputs differ by, and lets go of it beyond the rails. */
function looped(id: string, at: At, ground: string): string[] {
  const farads = 1e-9;
  const y = `v(n_y_${id},${ground})`;
  return [
    `B${id}x ${ground} n_y_${id} I = ${2 * Math.PI * farads * GAIN_BANDWIDTH_HZ} * v(${at('p')},${at('n')}) - 0.1 * (max(0, ${y} - v(n_5v0,${ground})) + min(0, ${y}))`,
    `C${id}x n_y_${id} ${ground} ${farads}`,
    `R${id}x n_y_${id} ${ground} 1e8`,
    ...output(id, at('o'), ground),
  ];
}
