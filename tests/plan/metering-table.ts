// Units with a seeded fault, found by dialogue with the readings of a simulated hand meter: how often the fault is named, and
// by how many readings, against going through the whole sheet.

import { seededRandom } from '../../host/circuit/index.js';
import { type Metering, type MeterWay, startMetering } from '../../host/plan/index.js';
import { listProfiles, loadCircuit, loadUnit, type ResolvedUnit } from '../../host/profile/index.js';
import { drawnFault, type Metered, metered } from './metered.js';

/** One unit of every style that ships, whatever its motor. */
export function unitsOfEveryStyle(): ResolvedUnit[] {
  return listProfiles('circuit').map(({ id }) => {
    const style = loadCircuit(id);
    return style.subject === 'relay'
      ? loadUnit('mini-changeover-alone')
      : { ...loadUnit('entry-step-relays'), style };
  });
}

export interface MeteringRow {
  title: string;
  units: number;
  /** Faults that such a meter does not show, or not at every strength. */
  hidden: number;
  missed: Metered[];
  /** Of those that it shows. */
  median: number;
  most: number;
  /** The fewest that prove a unit right. */
  proving: number;
  good: Metered;
}

/** @returns undefined where nothing is to be measured that way. */
export function meteringRow(
  unit: ResolvedUnit,
  { way, units, seed }: { way: MeterWay; units: number; seed: number },
): MeteringRow | undefined {
  const metering: Metering | undefined = startMetering(unit, way);
  if (metering === undefined) return undefined;
  const random = seededRandom(seed);
  const all = Array.from({ length: units }, () =>
    metered(unit, metering, random, { way, fault: drawnFault(unit, random) }),
  );
  const counts = all
    .filter(({ isHidden }) => !isHidden)
    .map(({ probing }) => probing.taken.length)
    .sort((a, b) => a - b);
  return {
    ...{ title: unit.style.title, units, hidden: units - counts.length },
    missed: all.filter(({ isRight }) => !isRight),
    median: counts[Math.floor(counts.length / 2)] ?? 0,
    most: counts.at(-1) ?? 0,
    proving: metering.provingCount,
    good: metered(unit, metering, random, { way, fault: undefined }),
  };
}

export const missedText = ({ truth, end, probing }: Metered): string =>
  `${truth}: ${end.kind} ${end.left[0]?.suspect.cause.id ?? 'nothing'}; ${probing.taken.map(({ probe, reading }) => `${probe.id} ${JSON.stringify(reading)}`).join(', ')}`;

export const rowText = ({ title, units, hidden, missed, median, most, proving, good }: MeteringRow): string =>
  [
    `${title}: ${units - missed.length} of ${units} right or in the group (${hidden} not to be seen);`,
    `median ${median} readings, at most ${most}, the sheet has ${proving};`,
    `a good one ${good.isRight ? `proven by ${good.probing.taken.length}` : 'NOT PROVEN'}`,
  ].join(' ');
