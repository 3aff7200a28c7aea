// Measurements on the parts of the harness: along its wires, across its switches, at its relays and their sockets.

import { elementWords, placeWords } from '../../circuit/index.js';
import type { CircuitStyle } from '../../profile/index.js';
import { type Levels, ohms } from './meter.js';
import {
  across,
  DEAD,
  FED,
  noted,
  type ProbeChoice,
  type ProbeReading,
  type ReadLevels,
  resistance,
  toGround,
  volts,
  WAYS,
} from './probe.js';

export function partProbes(style: CircuitStyle, levels: ReadLevels): ProbeChoice[] {
  return [...alongWires(style, levels), ...atSwitches(style, levels), ...atRelays(style, levels)];
}

/** Drops along feed and ground, where bad joints hide. */
function alongWires(style: CircuitStyle, levels: ReadLevels): ProbeChoice[] {
  const wires = style.elements.filter(
    (element) => element.kind === 'wire' && (element.role === 'feed' || element.role === 'ground'),
  );
  return wires.flatMap((wire): ProbeChoice[] => {
    if (wire.kind !== 'wire') return [];
    return [
      {
        ...FED,
        id: `drop-${wire.id}`,
        question: `Drop from ${placeWords(style, wire.a)} to ${placeWords(style, wire.b)}, thrown each way`,
        ask: (circuits) => {
          const circuit = circuits.whole();
          const seen = WAYS.map((way) => levels(circuit, way, { drop: across(wire.a, wire.b) }));
          return noted(
            seen,
            WAYS.map((way, i) => volts(`Along ${elementWords(wire)}, ${way}`, seen[i]!.thrown.drop)),
          );
        },
      },
    ];
  });
}

/** From each common of a switch to what it is thrown to: a closed contact shows next to nothing. */
function atSwitches(style: CircuitStyle, levels: ReadLevels): ProbeChoice[] {
  return style.elements.flatMap((element): ProbeChoice[] => {
    if (element.kind !== 'switch') return [];
    const words = elementWords(element);
    return [
      {
        ...FED,
        id: `contacts-${element.id}`,
        question: `Across the closed contacts of ${/^the /.test(words) ? words : `the ${words}`}, thrown each way`,
        ask: (circuits) => {
          const circuit = circuits.whole();
          const seen: Levels[] = [];
          const readings = WAYS.flatMap((way) => {
            const position = style.positions[way][element.id] ?? element.position;
            const closed = element.poles.flatMap(({ id, common, throws }) => {
              const to = throws[position];
              return to === undefined ? [] : [{ id, common, to }];
            });
            const extra = Object.fromEntries(closed.map(({ id, common, to }) => [id, across(common, to)]));
            const level = levels(circuit, way, extra);
            seen.push(level);
            return closed.map(({ id, common, to }) =>
              volts(`${placeWords(style, common)} to ${placeWords(style, to)}, ${way}`, level.thrown[id]),
            );
          });
          return noted(seen, readings);
        },
      },
    ];
  });
}

function atRelays(style: CircuitStyle, levels: ReadLevels): ProbeChoice[] {
  return style.elements.flatMap((relay): ProbeChoice[] => {
    if (relay.kind !== 'relay') return [];
    const words = elementWords(relay);
    return [
      {
        ...FED,
        id: `socket-${relay.id}`,
        question: `Terminals of ${words} to ground, thrown each way`,
        ask: (circuits) => {
          const extra = Object.fromEntries(
            Object.entries(relay.terminals).flatMap(([terminal, node]) =>
              node === undefined ? [] : [[terminal, toGround(node)]],
            ),
          );
          const seen = WAYS.map((way) => levels(circuits.whole(), way, extra));
          return noted(
            seen,
            WAYS.flatMap((way, i) =>
              Object.keys(extra).map((terminal) =>
                volts(`${terminal} of ${words}, ${way}`, seen[i]!.thrown[terminal]),
              ),
            ),
          );
        },
      },
      {
        ...DEAD,
        id: `coil-${relay.id}`,
        question: `Outputs off, pull ${words}: its coil, and 30 to 87a and to 87 with the coil off`,
        ask: (circuits) => {
          const { netlist, terminals } = circuits.relayAlone(relay.id);
          const between = (one: string, two: string): ProbeReading[] =>
            terminals[one] === undefined || terminals[two] === undefined
              ? []
              : [resistance(`${one} to ${two} of ${words}`, ohms(netlist, terminals[one], terminals[two]))];
          return { readings: [...between('86', '85'), ...between('30', '87a'), ...between('30', '87')] };
        },
      },
    ];
  });
}
