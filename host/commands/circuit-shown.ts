// What a picture of a unit's circuit shows: its wires in the order of making, a position solved, the place of a fault,
// and what is said under it.

import type { Position } from '../capture/index.js';
import {
  clipFaultsOf,
  type Fault,
  faultsOfUnit,
  furtherConditionsOf,
  nominalInput,
  type PositionState,
  positionState,
  rigFaultsOf,
} from '../circuit/index.js';
import { readingOf, runStretch } from '../measure/index.js';
import { builtInput, type Connection, connectionsOf } from '../plan/index.js';
import { type CircuitStyle, colourWords, type ResolvedUnit } from '../profile/index.js';
import type { FaultyPlace, Shown } from '../reports/circuit/index.js';
import { amount, briefly, capitalised, wireSize } from '../tell/index.js';

/** What the rig's terminals are where nothing is on the rig. */
export const BUILD_TERMINALS: Readonly<Record<string, string>> = {
  'rig.feed': 'fused supply',
  'rig.ground': 'ground of the supply',
  'rig.coil-feed': 'fused coil supply',
  'rig.trigger-forward': 'small switch forward',
  'rig.trigger-reverse': 'small switch reverse',
  'rig.lead-a': 'lead A of the motor plug',
  'rig.lead-b': 'lead B of the motor plug',
  'rig.motor-a': 'lead A of the motor plug',
  'rig.motor-b': 'lead B of the motor plug',
};

export interface ShownAsked {
  unit: ResolvedUnit;
  /** That which shows the fault best where it is left open, else forward. */
  position?: Position | undefined;
  station?: string | undefined;
  /** Causes that are told as one; with more than one of them only their places are shown, since voltages differ by cause. */
  causes?: readonly Fault[] | undefined;
  colours?: Readonly<Record<string, string>> | undefined;
  /** On the supply of its vehicle, as it is built; else on that of the rig. */
  isBuilt?: boolean | undefined;
}

export interface ShownCircuit {
  shown: Shown;
  connections: Connection[];
}

/** @throws RangeError for a station that is not there; CircuitError where it cannot be solved */
export function shownCircuit({
  unit,
  position,
  station,
  causes = [],
  colours,
  isBuilt = false,
}: ShownAsked): ShownCircuit {
  const connections = connectionsOf(unit, colours);
  const input = isBuilt ? builtInput(unit) : nominalInput(unit);
  const [first, more] = causes;
  const at = (where: Position): Pick<Shown, 'state' | 'good'> => {
    const good = positionState(input, where, station);
    return first === undefined
      ? { state: good }
      : { good, state: positionState({ ...input, faults: [first] }, where, station) };
  };
  const places: readonly Position[] =
    position !== undefined ? [position] : first === undefined ? ['forward'] : ['forward', 'reverse', 'rest'];
  const solved = places.map(at);
  const shows = solved.map(({ state, good = state }) => differenceV(state, good));
  const { state, good } = solved[shows.indexOf(Math.max(...shows))] ?? at('forward');
  const best = more === undefined ? { state, good } : { state: good ?? state };
  return {
    connections,
    shown: {
      style: unit.style,
      ...best,
      colours: Object.fromEntries(
        connections.flatMap(({ id, colour }) => (colour === undefined ? [] : [[id, colour]])),
      ),
      numbers: new Map(connections.map(({ id, number }) => [id, number])),
      ...(causes.length === 0 ? {} : { faulty: placeOfAll(causes) }),
    },
  };
}

/** How much of it a meter shows: volts over all nodes, and an ampere counts as one of them. */
function differenceV(state: PositionState, good: PositionState): number {
  const nodes = Object.entries(good.voltageV).reduce(
    (sum, [node, volts]) => sum + Math.abs(volts - (state.voltageV[node] ?? 0)),
    0,
  );
  return nodes + Math.abs(state.feedCurrentA - good.feedCurrentA);
}

function placeOfAll(causes: readonly Fault[]): FaultyPlace {
  const parts = causes.flatMap((cause) => cause.parts.map(({ id }) => id));
  const marks = causes.flatMap((cause) => cause.marks);
  return {
    parts: [...new Set(parts)],
    marks,
    nodes: parts.length > 0 ? [] : causes.flatMap(({ probe }) => probe.at),
  };
}

/** Every cause that a run of this unit may be told of. */
export const causesOf = (unit: ResolvedUnit): Fault[] => [
  ...faultsOfUnit(unit),
  ...clipFaultsOf(unit.style),
  ...rigFaultsOf(unit.style),
  ...furtherConditionsOf(unit.style),
];

export const POSITION_WORDS: Record<Position, string> = {
  rest: 'Nothing thrown',
  forward: 'Thrown forward',
  reverse: 'Thrown in reverse',
};

/** `Thrown in reverse from the remote switch`. */
export function positionWords(style: CircuitStyle, position: Position, station?: string): string {
  const place = station === undefined ? undefined : style.stations[station]?.title;
  const from = place === undefined || position === 'rest' ? '' : `, ${place.toLowerCase()}`;
  return `${POSITION_WORDS[position]}${from}`;
}

/** Where a wire states both, the square millimetres count. */
export const sizeWords = ({ size: { areaMm2, awg } }: Connection): string =>
  wireSize(areaMm2 === undefined ? { awg } : { areaMm2 });

/** `RD red`, or nothing. */
export const colourTold = (colour: string | undefined): string =>
  colour === undefined ? '' : `${colour} ${colourWords(colour)}`;

/** `(3) Feed wire: RD red, 2.5 mm², 3.5 A`, in the order of their numbers; in brackets a good unit's current. */
export const wireLines = ({ shown: { state, good }, connections }: ShownCircuit): string[] =>
  connections.map((wire) => {
    const [flows, expected] = [state, good].map((each) => currentWords(each?.currentA[wire.id] ?? 0));
    const isOther = good !== undefined && flows !== expected;
    const told = [colourTold(wire.colour), sizeWords(wire), `${flows}${isOther ? ` (${expected})` : ''}`];
    return `(${wire.number}) ${capitalised(wire.title)}: ${told.filter((text) => text !== '').join(', ')}`;
  });

const LEAST_A = 0.02;
const currentWords = (currentA: number): string =>
  Math.abs(currentA) < LEAST_A ? 'no current' : briefly(Math.abs(currentA), 'A');

type Kept = Readonly<Record<string, { value: number }>>;

/** What a run measured in this position at the full feed, beside what a good unit would show: `lead A 10.6 V (12.7 V)`. */
export function measuredWords(kept: Kept, position: Position, good: PositionState, motorId: string): string {
  const stretch = runStretch('full', position);
  const volts = (what: 'leadAVoltageV' | 'leadBVoltageV', words: string, node: string): string[] => {
    const read = readingOf(kept, what, stretch);
    const expected = good.voltageV[node];
    if (read === undefined || expected === undefined) return [];
    return [`${words} ${amount(read.value, 'V', 1)} (${amount(expected, 'V', 1)})`];
  };
  const amperes = (
    what: 'motorCurrentA' | 'feedCurrentA' | 'coilCurrentA',
    words: string,
    expectedA: number | undefined,
  ): string[] => {
    const read = readingOf(kept, what, stretch);
    if (read === undefined || expectedA === undefined) return [];
    return [`${words} ${briefly(read.value, 'A')} (${briefly(expectedA, 'A')})`];
  };
  return [
    ...volts('leadAVoltageV', 'lead A', 'rig.motor-a'),
    ...volts('leadBVoltageV', 'lead B', 'rig.motor-b'),
    ...amperes('motorCurrentA', 'motor', good.currentA[motorId]),
    ...amperes('feedCurrentA', 'feed', good.feedCurrentA),
    ...amperes('coilCurrentA', 'coils', good.coilCurrentA),
  ].join(', ');
}
