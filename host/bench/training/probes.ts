// The measurements a person would make on the bench, as a menu for one style. Each is asked of the circuit with whatever
// is hidden in it, by the solver.

import {
  elementWords,
  GROUND,
  type Probe,
  placeNode,
  placeWords,
  type UnitCircuit,
} from '../../circuit/index.js';
import type { CircuitStyle, ResolvedUnit } from '../../profile/index.js';
import { driven, held, type Levels, ohms, throwLevels, type Way } from './meter.js';
import type { TrueCircuits } from './true-circuits.js';

export interface ProbeReading {
  /** Where and when: `Lead A, forward`. */
  label: string;
  /** Infinity for an open circuit. */
  value: number;
  unit: 'V' | 'A' | 'Ohm';
}

export interface ProbeAnswer {
  readings: ProbeReading[];
  /** One sentence on how it had to be measured. */
  note?: string;
}

export interface ProbeChoice {
  /** kebab-case, permanent. */
  id: string;
  question: string;
  ask(circuits: TrueCircuits): ProbeAnswer;
}

const WAYS = ['forward', 'reverse'] as const;
const LIMITED_NOTE = 'Through the limited feed: the full one trips the rig.';

export function probeMenu(unit: ResolvedUnit): ProbeChoice[] {
  const { style, rig } = unit;
  const relays = style.elements.filter((element) => element.kind === 'relay');
  const what = unit.load === undefined ? 'motor' : 'load';
  const levels = (circuit: UnitCircuit, way: Way, extra: Record<string, Probe> = {}): Levels =>
    throwLevels(circuit, way, rig.trip, extra);
  const noted = (seen: readonly Levels[], readings: ProbeReading[]): ProbeAnswer => ({
    readings,
    ...(seen.some(({ limited }) => limited) ? { note: LIMITED_NOTE } : {}),
  });
  const leadsOf = ({ thrown }: Levels, way: Way): ProbeReading[] => [
    volts(`Lead A, ${way}`, thrown.leadAVoltageV),
    volts(`Lead B, ${way}`, thrown.leadBVoltageV),
    amps(`Motor current, ${way}`, thrown.motorCurrentA),
  ];
  const bothWays = (circuit: UnitCircuit): ProbeAnswer => {
    const seen = WAYS.map((way) => levels(circuit, way));
    return noted(
      seen,
      WAYS.flatMap((way, i) => leadsOf(seen[i]!, way)),
    );
  };

  const choices: ProbeChoice[] = [
    {
      id: 'leads-at-rest',
      question: 'Lead A and lead B to ground at rest, feed on',
      ask: (circuits) => {
        const seen = levels(circuits.whole(), 'forward');
        return noted(
          [seen],
          [
            volts('Lead A at rest', seen.rest.leadAVoltageV),
            volts('Lead B at rest', seen.rest.leadBVoltageV),
            amps('Feed current at rest', seen.rest.feedCurrentA),
          ],
        );
      },
    },
    ...WAYS.map(
      (way): ProbeChoice => ({
        id: `leads-${way}`,
        question: `Lead A and lead B to ground, thrown ${way}, under load`,
        ask: (circuits) => {
          const seen = levels(circuits.whole(), way);
          return noted([seen], leadsOf(seen, way).slice(0, 2));
        },
      }),
    ),
    ...WAYS.map(
      (way): ProbeChoice => ({
        id: `current-${way}`,
        question: `Clamp on lead A and on the feed, thrown ${way}`,
        ask: (circuits) => {
          const seen = levels(circuits.whole(), way);
          return noted(
            [seen],
            [
              amps(`Highest current of the start, ${way}`, seen.peakA),
              amps(`Motor current, ${way}`, seen.thrown.motorCurrentA),
              amps(`Feed current, ${way}`, seen.thrown.feedCurrentA),
            ],
          );
        },
      }),
    ),
    {
      id: 'supply',
      question: 'Supply at the rig, at rest and thrown each way',
      ask: (circuits) => {
        const seen = WAYS.map((way) => levels(circuits.whole(), way));
        return noted(seen, [
          volts('Supply at rest', seen[0]!.rest.supplyVoltageV),
          ...WAYS.map((way, i) => volts(`Supply, ${way}`, seen[i]!.thrown.supplyVoltageV)),
        ]);
      },
    },
  ];
  if (relays.length > 0) {
    choices.push({
      id: 'coil-current',
      question: 'Coil current at rest and thrown each way',
      ask: (circuits) => {
        const seen = WAYS.map((way) => levels(circuits.whole(), way));
        return noted(seen, [
          amps('Coil current at rest', seen[0]!.rest.coilCurrentA),
          ...WAYS.map((way, i) => amps(`Coil current, ${way}`, seen[i]!.thrown.coilCurrentA)),
        ]);
      },
    });
  }
  choices.push(...alongWires(style, levels), ...atSwitches(style, levels));
  for (const relay of relays) {
    const words = elementWords(relay);
    choices.push(
      {
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
        id: `coil-${relay.id}`,
        question: `Pull ${words}: its coil, and 30 to 87a and to 87 with the coil off`,
        ask: (circuits) => {
          const { netlist, terminals } = circuits.relayAlone(relay.id);
          const between = (one: string, two: string): ProbeReading[] =>
            terminals[one] === undefined || terminals[two] === undefined
              ? []
              : [resistance(`${one} to ${two} of ${words}`, ohms(netlist, terminals[one], terminals[two]))];
          return { readings: [...between('86', '85'), ...between('30', '87a'), ...between('30', '87')] };
        },
      },
    );
  }
  const [first, second] = relays;
  if (first && second) {
    choices.push({
      id: 'exchange-relays',
      question: `Exchange ${elementWords(first)} and ${elementWords(second)} and throw each way`,
      ask: (circuits) => bothWays(circuits.exchanged(first.id, second.id)),
    });
  }
  choices.push(
    {
      id: 'unplug',
      question: `Unplug the ${what}: leads of the harness, thrown each way`,
      ask: (circuits) => {
        const circuit = circuits.unplugged();
        const seen = WAYS.map((way) => levels(circuit, way));
        return noted(
          seen,
          WAYS.flatMap((way, i) => leadsOf(seen[i]!, way).slice(0, 2)),
        );
      },
    },
    {
      id: 'leads-to-ground-ohm',
      question: `Unplug the ${what}, supply off: lead A and lead B of the harness to ground`,
      ask: (circuits) => {
        const { netlist } = circuits.unplugged();
        const dead = { elements: netlist.elements.filter(({ kind }) => kind !== 'supply') };
        return {
          readings: [
            resistance('Lead A to ground', ohms(dead, 'rig.motor-a', GROUND)),
            resistance('Lead B to ground', ohms(dead, 'rig.motor-b', GROUND)),
          ],
        };
      },
    },
    {
      id: 'lead-to-lead-ohm',
      question: `Unplug the ${what}: its resistance lead to lead, and to its case`,
      ask: (circuits) => {
        const { netlist, a, b, motorId } = circuits.motorAlone();
        const still = held(netlist, motorId);
        return {
          readings: [
            resistance(`Lead to lead of the ${what}`, ohms(still, a, b)),
            resistance(`Lead A of the ${what} to its case`, ohms(still, a, GROUND)),
          ],
        };
      },
    },
    {
      id: 'motor-on-battery',
      question: `Unplug the ${what} and run it straight off a fused battery`,
      ask: (circuits) => {
        const { netlist, a, b } = circuits.motorAlone();
        const { currentA, peakA } = driven(netlist, a, b, { ...BATTERY, untilS: 0.8 });
        return {
          readings: [amps(`Start of the ${what} alone`, peakA), amps(`The ${what} alone, running`, currentA)],
        };
      },
    },
  );
  return choices;
}

/** A charged battery behind short leads (common practice, no source). */
const BATTERY = { voltageV: 12.6, ohm: 0.05 };

type ReadLevels = (circuit: UnitCircuit, way: Way, extra?: Record<string, Probe>) => Levels;

/** Drops along feed and ground, where bad joints hide. */
function alongWires(style: CircuitStyle, levels: ReadLevels): ProbeChoice[] {
  const wires = style.elements.filter(
    (element) => element.kind === 'wire' && (element.role === 'feed' || element.role === 'ground'),
  );
  return wires.flatMap((wire): ProbeChoice[] => {
    if (wire.kind !== 'wire') return [];
    return [
      {
        id: `drop-${wire.id}`,
        question: `Drop from ${placeWords(style, wire.a)} to ${placeWords(style, wire.b)}, thrown each way`,
        ask: (circuits) => {
          const circuit = circuits.whole();
          const seen = WAYS.map((way) => levels(circuit, way, { drop: across(wire.a, wire.b) }));
          return {
            readings: WAYS.map((way, i) =>
              volts(`Along ${wire.title ?? wire.id}, ${way}`, seen[i]!.thrown.drop),
            ),
            ...(seen.some(({ limited }) => limited) ? { note: LIMITED_NOTE } : {}),
          };
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
          return { readings, ...(seen.some(({ limited }) => limited) ? { note: LIMITED_NOTE } : {}) };
        },
      },
    ];
  });
}

const toGround = (node: string): Probe => ({ kind: 'voltage', plus: placeNode(node) });
const across = (a: string, b: string): Probe => ({
  kind: 'voltage',
  plus: placeNode(a),
  minus: placeNode(b),
});
const volts = (label: string, value = Number.NaN): ProbeReading => ({ label, value, unit: 'V' });
const amps = (label: string, value = Number.NaN): ProbeReading => ({ label, value, unit: 'A' });
const resistance = (label: string, value: number): ProbeReading => ({ label, value, unit: 'Ohm' });
