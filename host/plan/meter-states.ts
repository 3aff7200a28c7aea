// How a harness lies on the bench when it is measured before any power: taken off the supply, relays out of their sockets,
// motor unplugged, its switch in one position or another; and each relay, and what hangs on the motor plug, by itself.

import {
  applyFault,
  buildUnitCircuit,
  type CircuitElement,
  type ControlSetting,
  elementWords,
  type Fault,
  GROUND,
  nominalInput,
  placeWords,
  type UnitCircuit,
} from '../circuit/index.js';
import { CircuitsInPieces, driven } from '../diagnose/index.js';
import { nodeAt, type Place, placesOf } from '../probe/index.js';
import { type CircuitStyle, nodesOf, type ResolvedUnit } from '../profile/index.js';
import { type OhmBetween, ohmBetween } from './meter-net.js';

export interface ProbedPlace {
  id: string;
  words: string;
}

/** One pair of places in one state of the bench. */
export interface MeterReading {
  id: string;
  /** What is done before, in words; readings of one state stand together. */
  state: string;
  range: 'ohms' | 'diode' | 'volts';
  /** Plus tip, where the range has one. */
  from: ProbedPlace;
  to: ProbedPlace;
  /** Part by which good ones differ, and by how much at least. */
  spread: number;
  floor: number;
  /** With these faults, or none; Infinity for open. */
  shown(faults: readonly Fault[]): number;
}

/** Source of a hand meter in its diode range: common data sheet figures. */
const DIODE = { voltageV: 2, ohm: 2000, untilS: 0.3 } as const;
/** Of a coil where the profile does not say. Common practice, no source. */
const COIL_SPREAD = 0.1;

/** The whole circuit with these faults in it. */
export type Build = (faults: readonly Fault[]) => UnitCircuit;

export const nominalBuild =
  (unit: ResolvedUnit): Build =>
  (faults) =>
    buildUnitCircuit({ ...nominalInput(unit), faults });

/** Every reading without power that is worth a thought, the easiest state first. */
export function meterReadings(unit: ResolvedUnit, build = nominalBuild(unit)): MeterReading[] {
  return [...ofHarness(unit, build), ...ofRelays(unit, build), ...ofPlug(unit, build)];
}

export const once = <T>(make: (faults: readonly Fault[]) => T): ((faults: readonly Fault[]) => T) => {
  const made = new Map<string, T>();
  return (faults) => {
    // The same fault shows in several ways.
    const key = JSON.stringify(faults.map(({ id, edits }) => [id, edits]));
    const value = made.get(key) ?? make(faults);
    made.set(key, value);
    return value;
  };
};

export const circuitsOf = (unit: ResolvedUnit, build: Build) =>
  once((present: readonly Fault[]) => new CircuitsInPieces(unit, present, build));

/** Ids of what lies behind the motor plug: the motor, and what is joined to it other than by a wire. */
export function behindPlug({ elements }: CircuitStyle): Set<string> {
  const inside = elements.filter(
    ({ kind }) => !['wire', 'switch', 'relay', 'fuse', 'adjustable-supply'].includes(kind),
  );
  return new Set(inside.map(({ id }) => id));
}

function ofHarness(unit: ResolvedUnit, build: Build): MeterReading[] {
  const { style } = unit;
  const circuits = circuitsOf(unit, build);
  const inside = behindPlug(style);
  const rigOwn = new Set(style.elements.flatMap(({ id, rigOwn: own }) => (own ? [id] : [])));
  const isHarness = ({ id, partOf, kind }: CircuitElement): boolean =>
    !id.startsWith('rig.') &&
    kind !== 'relay' &&
    !inside.has(id) &&
    !inside.has(partOf ?? '') &&
    !rigOwn.has(partOf ?? id);
  const ground: Place = { id: 'rig.ground', words: 'ground', at: { kind: 'joint' } };
  const places = [...harnessPlaces(unit, inside), ground];
  // A relay by itself has no harness.
  if (
    !style.elements.some(({ kind, rigOwn: own }) => kind !== 'relay' && kind !== 'adjustable-supply' && !own)
  )
    return [];
  return switchStates(unit).flatMap(({ words, settings }, nth) => {
    const solved = once((faults: readonly Fault[]): ((place: Place, other: Place) => number) => {
      const { netlist } = circuits(faults).whole();
      const between: OhmBetween = ohmBetween(netlist.elements.filter(isHarness), settings);
      const node = (place: Place): string | undefined =>
        place.id === ground.id ? GROUND : nodeAt(netlist, place);
      return (place, other) => between(node(place), node(other));
    });
    return places.flatMap((from, i) =>
      places.slice(i + 1).map((to): MeterReading => {
        const shown: MeterReading['shown'] = (faults) => solved(faults)(from, to);
        const id = `${nth} ${from.id} ${to.id}`;
        return { id, state: words, range: 'ohms', from, to, spread: 0, floor: 0, shown };
      }),
    );
  });
}

/** Where a tip reaches the harness: its marks and joints, fuses and what feeds it. */
export function harnessPlaces({ style }: ResolvedUnit, inside: ReadonlySet<string>): Place[] {
  const own = style.elements.filter(({ id, rigOwn }) => !rigOwn && !inside.has(id));
  const touched = new Set(own.flatMap(nodesOf));
  const marked = placesOf(style).filter(({ id }) => touched.has(id));
  const known = new Set(marked.map(({ id }) => id));
  const feeds = [
    ...own.flatMap((element) => (element.kind === 'fuse' ? [element.a, element.b] : [])),
    ...(style.thrownBy === 'trigger' ? ['rig.coil-feed'] : []),
  ].filter((id) => !known.has(id) && id !== 'rig.ground');
  const more = [...new Set(feeds)].map(
    (id): Place => ({ id, words: placeWords(style, id), at: { kind: 'joint' } }),
  );
  return [...marked, ...more];
}

/** Positions in which the harness's own switches differ; one where it has none that a hand moves. */
function switchStates({ style }: ResolvedUnit): { words: string; settings: ControlSetting[] }[] {
  const switches = new Set(
    style.elements.flatMap(({ kind, id, rigOwn }) => (kind === 'switch' && !rigOwn ? [id] : [])),
  );
  const relays = style.elements.flatMap((element) =>
    element.kind === 'relay' ? [elementWords(element)] : [],
  );
  const out = [
    ...(relays.length > 0
      ? [`${relays.join(' and ')} out of ${relays.length > 1 ? 'their sockets' : 'its socket'}`]
      : []),
    ...(style.elements.some(({ kind }) => kind === 'motor') ? ['motor unplugged'] : []),
  ].join(', ');
  const places = [
    { title: 'switch', positions: style.positions },
    ...Object.values(style.stations).map(({ title, positions }) => ({
      title: title.toLowerCase(),
      positions,
    })),
  ];
  const states = new Map<string, { words: string; settings: ControlSetting[] }>();
  for (const { title, positions } of places)
    for (const position of ['rest', 'forward', 'reverse'] as const) {
      const moved = Object.entries(positions[position]).filter(([id]) => switches.has(id));
      const settings = moved.map(([element, state]) => ({ element, state }));
      const isRest = position === 'rest';
      const key = isRest ? 'rest' : JSON.stringify(settings);
      const words =
        switches.size === 0 ? out : `${out}, ${isRest ? 'nothing thrown' : `${title} thrown ${position}`}`;
      if (isRest || settings.length > 0) states.set(key, states.get(key) ?? { words, settings });
    }
  const moved = new Set(
    places.flatMap(({ positions }) => Object.values(positions).flatMap((each) => Object.keys(each))),
  );
  const standing = style.elements.filter(({ id }) => switches.has(id) && !moved.has(id));
  return [
    ...states.values(),
    ...standing.map((element) => ({
      words: `${out}, nothing thrown, ${elementWords(element)} off`,
      settings: [{ element: element.id, state: OFF }],
    })),
  ];
}
/** Of a switch that joins nothing then. */
const OFF = 'off';

/** Each relay out of its socket. */
function ofRelays(unit: ResolvedUnit, build: Build): MeterReading[] {
  const circuits = circuitsOf(unit, build);
  const coil = unit.relay?.coilResistanceOhm;
  const coilSpread = typeof coil === 'object' ? coil.tolerancePercent / 100 : COIL_SPREAD;
  return unit.style.elements.flatMap((relay) => {
    if (relay.kind !== 'relay' || relay.rigOwn) return [];
    const words = elementWords(relay);
    const solved = once((faults: readonly Fault[]) => {
      const { netlist, terminals } = circuits(faults).relayAlone(relay.id);
      const between = ohmBetween(netlist.elements);
      return (one: string, other: string): number => between(terminals[one], terminals[other]);
    });
    const pairs = [
      ['85', '86'],
      ['30', '87a'],
      ['30', '87'],
    ] as const;
    return pairs
      .filter((marks) => marks.every((mark) => relay.terminals[mark] !== undefined))
      .map(([one, other]): MeterReading => {
        const place = (mark: string): ProbedPlace => ({
          id: `${relay.id}-${mark}`,
          words: `${mark} of ${words} itself`,
        });
        return {
          id: `${relay.id} ${one} ${other}`,
          state: `${words} in the hand`,
          range: 'ohms',
          from: place(one),
          to: place(other),
          spread: one === '85' ? coilSpread : 0,
          floor: 0,
          shown: (faults) => solved(faults)(one, other),
        };
      });
  });
}

/** What brushes, film and protector leave open of a motor at a milliampere: 1 to 20 Ohm and more. */
const FILM_V = 0.1;

/** The motor plug in the diode range: a brush film reads 1 to 20 Ohm, so that it is open or not, either way round. */
function ofPlug(unit: ResolvedUnit, build: Build): MeterReading[] {
  const { style } = unit;
  const motor = style.elements.find(({ kind }) => kind === 'motor');
  if (motor?.kind !== 'motor' || unit.load !== undefined) return [];
  const inside = behindPlug(style);
  const own = new Set(style.elements.filter(({ id }) => inside.has(id)).flatMap(nodesOf));
  /** The plug is where the inside begins; a motor with leads of its own is measured at its terminals. */
  const nodeOf = (id: string): string =>
    id === GROUND || own.has(id) ? id : id === PLUG_A.id ? motor.a : motor.b;
  const solved = once((faults: readonly Fault[]) => {
    const whole = build([]).netlist;
    const elements = faults
      .filter(({ parts }) => parts.some(({ id }) => inside.has(id)))
      .reduce(applyFault, whole)
      .elements.filter(({ id, partOf }) => inside.has(id) || inside.has(partOf ?? ''));
    return TIPS.map(([plus, minus]) => plusMinusV(elements, nodeOf(plus.id), nodeOf(minus.id)));
  });
  return TIPS.map(
    ([from, to], i): MeterReading => ({
      id: `plug ${from.id} ${to.id}`,
      state: 'motor plug, motor side',
      range: 'diode',
      from,
      to,
      spread: 0,
      floor: FILM_V,
      shown: (faults) => solved(faults)[i] ?? Number.POSITIVE_INFINITY,
    }),
  );
}

const PLUG_A = { id: 'rig.motor-a', words: 'A of the motor plug' };
const PLUG_B = { id: 'rig.motor-b', words: 'B of the motor plug' };
const CASE = { id: GROUND, words: "the motor's case" };
/** Plus tip first. */
const TIPS = [
  [PLUG_A, PLUG_B],
  [PLUG_B, PLUG_A],
  [PLUG_A, CASE],
  [PLUG_B, CASE],
] as const;

function plusMinusV(elements: CircuitElement[], plus: string, minus: string): number {
  const leaks = [plus, minus]
    .filter((node) => node !== GROUND)
    .map((node): CircuitElement => {
      return { kind: 'resistor', id: `leak ${node}`, a: node, b: GROUND, resistanceOhm: 1e9 };
    });
  const { voltageV } = driven({ elements: [...elements, ...leaks] }, plus, minus, DIODE);
  return voltageV > 0.98 * DIODE.voltageV ? Number.POSITIVE_INFINITY : voltageV;
}
