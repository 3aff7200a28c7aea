// The measurements a person would make on the bench, as a menu for one style, the easiest first. Each is asked of a
// circuit, by the solver.

import { elementWords, GROUND, type UnitCircuit } from '../../circuit/index.js';
import type { ResolvedUnit } from '../../profile/index.js';
import { COST_MIN } from './actions.js';
import { driven, held, type Levels, ohms, throwLevels, type Way } from './meter.js';
import { partProbes } from './part-probes.js';
import {
  amps,
  DEAD,
  FED,
  noted,
  type ProbeAnswer,
  type ProbeChoice,
  type ProbeReading,
  type ReadLevels,
  resistance,
  volts,
  WAYS,
} from './probe.js';

export function probeMenu(unit: ResolvedUnit): ProbeChoice[] {
  const { style, rig } = unit;
  const relays = style.elements.filter((element) => element.kind === 'relay');
  const what = unit.load === undefined ? 'motor' : 'load';
  const open =
    style.subject === 'motor' ? "the rig's motor terminals A and B" : 'lead A and lead B of the harness';
  const levels: ReadLevels = (circuit, way, extra = {}) => throwLevels(circuit, way, rig.trip, extra);
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
      ...FED,
      id: 'leads-at-rest',
      reads: ['leadAVoltageV', 'leadBVoltageV', 'feedCurrentA'],
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
        ...FED,
        id: `leads-${way}`,
        reads: ['leadAVoltageV', 'leadBVoltageV'],
        question: `Lead A and lead B to ground, thrown ${way}, under load`,
        ask: (circuits) => {
          const seen = levels(circuits.whole(), way);
          return noted([seen], leadsOf(seen, way).slice(0, 2));
        },
      }),
    ),
    ...WAYS.map(
      (way): ProbeChoice => ({
        ...FED,
        id: `current-${way}`,
        reads: ['motorCurrentA', 'feedCurrentA'],
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
      ...FED,
      id: 'supply',
      reads: ['supplyVoltageV'],
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
      ...FED,
      id: 'coil-current',
      reads: ['coilCurrentA'],
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
  choices.push(...partProbes(style, levels));
  const [first, second] = relays;
  if (first && second) {
    choices.push({
      does: 'exchange',
      state: 'thrown',
      costMin: COST_MIN.exchange,
      id: 'exchange-relays',
      question: `Outputs off, exchange ${elementWords(first)} and ${elementWords(second)}, then throw each way`,
      ask: (circuits) => bothWays(circuits.exchanged(first.id, second.id)),
      before: (circuits) => bothWays(circuits.whole()),
    });
  }
  choices.push(
    {
      does: 'unplug',
      state: 'thrown',
      costMin: COST_MIN.unplug,
      id: 'unplug',
      question: `Outputs off, unplug the ${what}: ${open}, thrown each way`,
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
      ...DEAD,
      id: 'leads-to-ground-ohm',
      question: `Supply off, unplug the ${what}: ${open}, each to ground`,
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
      ...DEAD,
      id: 'lead-to-lead-ohm',
      question: `Outputs off, unplug the ${what}: its resistance lead to lead, and to its case`,
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
      does: 'meter',
      state: 'unplugged',
      costMin: COST_MIN.battery,
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
