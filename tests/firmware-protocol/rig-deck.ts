// The rig's own sheets as a SPICE deck: the text that draws the pictures, part by part, for what the circuit does when it is
// wired wrongly. Ratings that the sheets do not state stand in the models below, each with where it comes from.

import { readdirSync, readFileSync } from 'node:fs';
import { type Part, parseSheet } from '../../firmware-protocol/schematic/parse.js';

const FOLDER = new URL('../../firmware-protocol/schematic/', import.meta.url);

/** 12 V coils up to 0.2 A (RIG.md, section 4): 60 Ohm is the strongest of them, which pulls in at the least voltage. */
const COIL_OHM = 60;
const CLOSED_OHM = 0.005;
const OPEN_OHM = 1e9;
/** From every net to ground: what floats is solved, and nothing else notices. */
const LEAK_OHM = 1e10;

const MODELS = [
  // A rectifier diode: 0.75 V at 0.1 A (common data sheet figure).
  '.model rectifier d(is=1n n=1.6 rs=0.05)',
  // A Schottky diode of 3 A: 0.4 V at 1 A, and hot it lets some tenths of a milliampere back (common data sheet figures).
  '.model schottky d(is=2u n=1.1 rs=0.05)',
  // Logic-level and high-side transistors, on at 1.7 V and more; the body diode is drawn beside them.
  '.model low nmos(level=1 vto=1.7 kp=5)',
  '.model high pmos(level=1 vto=-2 kp=5)',
];

/** Deck names are lower case and know no hyphen; the star is node 0. */
export const nodeName = (net: string): string =>
  net === 'GND' ? '0' : `n_${net.toLowerCase().replace(/[^a-z0-9]/g, '_')}`;

export interface DeckOptions {
  /** The battery goes from nothing to this within a second, so slowly that every instant is a steady state. */
  batteryV: number;
  /** Further sources, by net. */
  sources?: readonly string[];
}

/** Every part of every sheet; the microcontroller and the amplifiers leave their outputs floating. */
export function rigDeck({ batteryV, sources = [] }: DeckOptions): string {
  const nets = new Map<string, string>();
  const parts = new Map<string, Part>();
  for (const file of readdirSync(FOLDER).filter((name) => name.endsWith('.sheet'))) {
    const sheet = parseSheet(readFileSync(new URL(file, FOLDER), 'utf8'));
    for (const [ref, part] of sheet.parts) parts.set(ref, part);
    for (const net of sheet.nets.values())
      for (const { ref, pin } of net.pins) nets.set(`${ref}.${pin}`, nodeName(net.name));
  }
  const breakdowns = new Set<number>();
  const lines = [...parts].flatMap(([ref, part]) =>
    linesOf(
      ref,
      part,
      (pin) => {
        const net = nets.get(`${ref}.${pin}`);
        if (net === undefined) throw new Error(`${ref}.${pin} is on no net`);
        return net;
      },
      breakdowns,
    ),
  );
  const leaks = [...new Set(nets.values())]
    .filter((net) => net !== '0')
    .map((net, index) => `Rleak${index} ${net} 0 ${LEAK_OHM}`);
  const zeners = [...breakdowns].map(
    (volts) => `.model ${zenerModel(volts)} d(is=1n n=1.6 rs=0.5 bv=${volts} ibv=1m)`,
  );
  const deck = ['rig', ...lines, ...leaks, ...MODELS, ...zeners, ...sources, '.tran 10m 1', '.end'];
  return deck.join('\n').replace('BATTERY_V', String(batteryV));
}

const zenerModel = (volts: number): string => `zener${String(volts).replace('.', 'p')}`;

/** `150 kΩ`, `0.1 Ω 3 W`, `12 Ω 50 W`, `60 A / 75 mV`. */
function ohmsOf(ref: string, values: readonly string[]): number {
  for (const value of values) {
    const plain = /([\d.]+)\s*(k|M)?Ω/.exec(value);
    if (plain) return Number(plain[1]) * ({ k: 1e3, M: 1e6 }[plain[2] ?? ''] ?? 1);
    const shunt = /([\d.]+) A \/ ([\d.]+) mV/.exec(value);
    if (shunt) return Number(shunt[2]) / 1000 / Number(shunt[1]);
  }
  throw new Error(`${ref} has no resistance among ${values.join(', ')}`);
}

function voltsOf(ref: string, values: readonly string[]): number {
  const found = values.map((value) => /([\d.]+) V/.exec(value)).find((match) => match !== null);
  if (!found) throw new Error(`${ref} has no voltage among ${values.join(', ')}`);
  return Number(found[1]);
}

function linesOf(ref: string, part: Part, at: (pin: string) => string, breakdowns: Set<number>): string[] {
  const id = ref.replace(/[^A-Za-z0-9]/g, '_');
  const resistor = (from: string, to: string, ohm: number, tail = ''): string =>
    `R${id}${tail} ${at(from)} ${at(to)} ${ohm}`;
  const zener = (anode: string, cathode: string, volts: number, tail = ''): string => {
    breakdowns.add(volts);
    return `D${id}${tail} ${anode} ${cathode} ${zenerModel(volts)}`;
  };
  switch (part.kind) {
    case 'battery':
      return [`VBT ${at('p')} ${at('n')} pwl(0 0 1 BATTERY_V)`];
    case 'fuse':
    case 'isolator':
    case 'stop':
      return [resistor('a', 'b', CLOSED_OHM)];
    case 'contact':
      return [resistor('a', 'b', OPEN_OHM)];
    case 'changeover':
      return [resistor('c', 'r', CLOSED_OHM), resistor('c', 'o', OPEN_OHM, 'o')];
    case 'shunt':
      return [
        resistor('a', 'b', ohmsOf(ref, part.values)),
        resistor('a', 'p', CLOSED_OHM, 'p'),
        resistor('b', 'n', CLOSED_OHM, 'n'),
      ];
    case 'resistor':
      return [resistor('a', 'b', ohmsOf(ref, part.values))];
    case 'coil':
      return [resistor('a', 'b', COIL_OHM)];
    case 'diode':
    case 'led':
      return [`D${id} ${at('a')} ${at('k')} ${part.values.includes('Schottky') ? 'schottky' : 'rectifier'}`];
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
    case 'opamp':
      return [`R${id}p ${at('p')} 0 1e6`, `R${id}n ${at('n')} 0 1e6`];
    case 'block':
      // The regulator's own draw, as a resistor; the board and the serial bridge float.
      return ref === 'U5' ? [`R${id} ${at('IN')} 0 1000`] : [];
    case 'capacitor':
    case 'electrolytic':
    case 'terminal':
    case 'motor':
      return [];
    default:
      throw new Error(`${ref}: what a ${part.kind} is in a deck is not known`);
  }
}
