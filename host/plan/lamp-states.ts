// The next step after a hand meter alone: a supply through a lamp, so that a short lights the lamp and blows nothing. Volts to
// ground with the relays in their sockets and the motor unplugged; a relay by itself with the lamp in front of its coil.

import { POSITIONS } from '../capture/index.js';
import {
  buildUnitCircuit,
  type CircuitElement,
  type ControlSetting,
  elementWords,
  type Fault,
  type Netlist,
} from '../circuit/index.js';
import { driven } from '../diagnose/index.js';
import { BenchOf } from '../probe/index.js';
import { lampOhm, type ResolvedUnit, systemOf } from '../profile/index.js';
import { builtInput } from './build-supply.js';
import {
  type Build,
  behindPlug,
  circuitsOf,
  harnessPlaces,
  type MeterReading,
  meterReadings,
  once,
} from './meter-states.js';

/** A volt of the system: batteries between half charged and on their charger. Common practice, no source. */
const SUPPLY = 12.6 / 12;
/** And the lamp in front of a coil or two. Common practice, no source. */
const SPREAD = 0.2;
/** Of what a bare wire or a closed contact may show. */
const FLOOR_V = 0.5;

/** What a unit is fed with through the lamp, V: the system of its relay where it is one alone, else of its motor or load. */
export const lampSystemOf = (unit: ResolvedUnit): number =>
  systemOf(
    unit.unit.subject === 'relay' && unit.relay !== undefined
      ? unit.relay.nominalVoltageV
      : builtInput(unit).supply.voltageV,
  );

/** The whole circuit at the supply of its system, through a lamp for it: as many watts, so V squared in ohms. */
export function lampBuild(unit: ResolvedUnit): Build {
  const input = builtInput(unit);
  const { rig } = input;
  const times = lampOhm(lampSystemOf(unit)) / lampOhm(systemOf(rig.supply.voltageV));
  const { limitedFeedOhm, limitedCoilFeedOhm } = rig;
  const limited = {
    ...{ ...rig, limitedFeedOhm: times * limitedFeedOhm },
    ...(limitedCoilFeedOhm === undefined ? {} : { limitedCoilFeedOhm: times * limitedCoilFeedOhm }),
  };
  return (faults) => buildUnitCircuit({ ...input, rig: limited, faults });
}

/** @returns none of a motor by itself: it has no wires to be fed through. */
export function lampReadings(unit: ResolvedUnit, build = lampBuild(unit)): MeterReading[] {
  return unit.unit.subject === 'relay' ? ofRelaysAlone(unit, build) : ofFedHarness(unit, build);
}

function ofFedHarness(unit: ResolvedUnit, build: Build): MeterReading[] {
  const { style } = unit;
  const circuits = circuitsOf(unit, build);
  const bench = once((faults: readonly Fault[]) => new BenchOf(circuits(faults), 'limited'));
  const known = new Set(bench([]).places.map(({ id }) => id));
  const places = harnessPlaces(unit, behindPlug(style)).filter(({ id }) => known.has(id));
  return fedStates(unit).flatMap(({ words, settings }, nth) =>
    places.map((from): MeterReading => {
      const shown: MeterReading['shown'] = (faults) => bench(faults).settledV(settings).get(from.id) ?? 0;
      const to = { id: 'rig.ground', words: 'ground' };
      const id = `fed ${nth} ${from.id}`;
      return { id, state: words, range: 'volts', from, to, spread: SPREAD, floor: FLOOR_V, shown };
    }),
  );
}

function fedStates({ style }: ResolvedUnit): { words: string; settings: ControlSetting[] }[] {
  const relays = style.elements.some(({ kind }) => kind === 'relay') ? ', relays in their sockets' : '';
  const before = `supply on through the lamp, motor unplugged${relays}`;
  const benches = [
    { title: '', positions: style.positions },
    ...Object.values(style.stations).map(({ title, positions }) => ({
      title: `${title.toLowerCase()} `,
      positions,
    })),
  ];
  const states = new Map<string, { words: string; settings: ControlSetting[] }>();
  for (const { title, positions } of benches)
    for (const position of POSITIONS) {
      const settings = Object.entries(positions[position]).map(([element, state]) => ({ element, state }));
      const key = position === 'rest' ? position : JSON.stringify(settings);
      const thrown = position === 'rest' ? 'nothing thrown' : `${title}thrown ${position}`;
      if (!states.has(key)) states.set(key, { words: `${before}, ${thrown}`, settings });
    }
  return [...states.values()];
}

/** Its coil through the lamp, each way round; its contacts while it is pulled in. */
function ofRelaysAlone(unit: ResolvedUnit, build: Build): MeterReading[] {
  const circuits = circuitsOf(unit, build);
  const systemV = lampSystemOf(unit);
  const fed = unit.style.elements.flatMap((relay): MeterReading[] => {
    if (relay.kind !== 'relay') return [];
    const words = elementWords(relay);
    return COILS.flatMap(([plus, minus]) => {
      const solved = once((faults: readonly Fault[]) => {
        const { netlist, terminals } = circuits(faults).relayAlone(relay.id);
        return fedRelay(netlist, terminals, [plus, minus], systemV);
      });
      const reading = (from: string, to: string, range: 'ohms' | 'volts'): MeterReading => ({
        id: `fed ${relay.id} ${plus} ${from} ${to}`,
        state: `supply through the lamp on the coil of ${words}, plus on ${plus}, minus on ${minus}`,
        range,
        from: { id: `${relay.id}-${from}`, words: `${from} of ${words} itself` },
        to: { id: `${relay.id}-${to}`, words: `${to} of ${words} itself` },
        spread: range === 'volts' ? SPREAD : 0,
        floor: range === 'volts' ? FLOOR_V : 0,
        shown: (faults) => solved(faults)(from, to, range),
      });
      const contacts = (['87', '87a'] as const).filter((mark) => relay.terminals[mark] !== undefined);
      return [reading(plus, minus, 'volts'), ...contacts.map((mark) => reading('30', mark, 'ohms'))];
    });
  });
  return [...meterReadings(unit, build), ...fed];
}

const COILS = [
  ['86', '85'],
  ['85', '86'],
] as const;
/** Ohms of a hand meter (common data sheet figures), read when the armature rests. */
const METER = { voltageV: 2, ohm: 2000, untilS: 0.1 } as const;
/** Its own input in the range of volts. */
const INPUT = { voltageV: 0, ohm: 1e7, untilS: 0.1 } as const;
const OPEN_FROM_OHM = 1e6;

function fedRelay(
  { elements }: Netlist,
  terminals: Readonly<Record<string, string>>,
  [plus, minus]: readonly [string, string],
  systemV: number,
) {
  const [high, low] = [terminals[plus] ?? '', terminals[minus] ?? ''];
  const source: CircuitElement[] = [
    {
      ...{ kind: 'supply', id: 'battery', plus: 'battery+', minus: low },
      ...{ voltageV: SUPPLY * systemV, sourceResistanceOhm: 0.05 },
    },
    { kind: 'resistor', id: 'lamp', a: 'battery+', b: high, resistanceOhm: lampOhm(systemV) },
  ];
  const netlist = { elements: [...elements, ...source] };
  return (from: string, to: string, range: 'ohms' | 'volts'): number => {
    const [one, other] = [terminals[from], terminals[to]];
    if (one === undefined || other === undefined) return range === 'volts' ? 0 : Number.POSITIVE_INFINITY;
    const { voltageV, currentA } = driven(netlist, one, other, range === 'volts' ? INPUT : METER);
    if (range === 'volts') return Math.abs(voltageV);
    const ohm = voltageV / currentA;
    return currentA > 0 && ohm < OPEN_FROM_OHM ? Math.max(0, ohm) : Number.POSITIVE_INFINITY;
  };
}
