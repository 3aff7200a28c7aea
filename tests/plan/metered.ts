// A hand with a meter at a unit with a seeded fault: the dialogue to its end, with the readings of that meter. What is really
// there is drawn from tolerances that the nominal circuits lack.

import type { Fault, SeededRandom } from '../../host/circuit/index.js';
import { type Metering, type MeterWay, metersFaults, probeIdOf, readingsOf } from '../../host/plan/index.js';
import { conclude, displayed, meterUncertainty, type Probing, withReading } from '../../host/probe/index.js';
import type { ResolvedUnit } from '../../host/profile/index.js';
import { chance, trueUnit } from '../../host/virtual-rig/index.js';

export interface Metered {
  truth: string;
  end: Exclude<ReturnType<typeof conclude>, { kind: 'open' }>;
  probing: Probing;
  /** The fault, or nothing wrong where no meter sees it, is the one that is left or in the group that nothing parts. */
  isRight: boolean;
  isHidden: boolean;
}

/** Every reading of a unit with drawn values and this fault in it. */
function trueReadings(unit: ResolvedUnit, way: MeterWay, fault: Fault | undefined, seed: number) {
  const present = fault === undefined ? [] : [fault];
  const readings = readingsOf(unit, way, (faults) =>
    trueUnit(
      unit,
      {
        ...{ id: 'seeded', title: 'Seeded fault', kind: 'case', seed, motorScale: {}, temperatureC: 20 },
        ...{ faults: faults.map(({ id }) => id), supply: { voltageV: 12.6 } },
      },
      chance(seed),
    ),
  );
  return new Map(readings.map((reading) => [probeIdOf(reading), () => reading.shown(present)]));
}

/** A hand meter's error is normal with its own standard uncertainty; ohms never fall below nothing. */
export function metered(
  unit: ResolvedUnit,
  { probing: start, unseen }: Metering,
  random: SeededRandom,
  { way, fault }: { way: MeterWay; fault: Fault | undefined },
): Metered {
  const truth = fault?.id ?? 'healthy';
  const values = trueReadings(unit, way, fault, Math.floor(random.uniform() * 2 ** 31));
  const isHidden = fault !== undefined && unseen.some(({ id }) => id === fault.id);
  let probing = start;
  for (let step = 0; step < 80; step++) {
    const end = conclude(probing, () => true);
    if (end.kind !== 'open') {
      if (fault === undefined)
        return {
          truth,
          end,
          probing,
          isHidden,
          isRight: end.kind === 'one' && end.left[0].suspect.cause.id === truth,
        };
      const wanted = isHidden ? ['healthy', truth] : [truth];
      const isNamed =
        end.kind !== 'unlisted' && end.left.some(({ suspect }) => wanted.includes(suspect.cause.id));
      // A fault that no reading shows for certain may still be told as none of the list.
      const isRight = isNamed || (isHidden && end.kind === 'unlisted');
      return { truth, end, probing, isRight, isHidden };
    }
    const { next } = end;
    if (next.takes.kind !== 'number') throw new Error(`${next.id} reads no number`);
    const { range } = next.takes;
    const value = values.get(next.id)?.() ?? Number.NaN;
    const noisy = Number.isFinite(value) ? value + meterUncertainty(range, value) * random.normal() : value;
    const read = displayed(range, range === 'volts' ? noisy : Math.max(0, noisy));
    probing = withReading(probing, next, { kind: 'number', value: read });
  }
  throw new Error(`${truth}: no end after 80 readings`);
}

/** One fault of the list that a hand meter is asked about. */
export function drawnFault(unit: ResolvedUnit, random: SeededRandom): Fault {
  const faults = metersFaults(unit);
  const fault = faults[Math.floor(random.uniform() * faults.length)];
  if (fault === undefined) throw new Error(`${unit.unit.id} has no faults`);
  return fault;
}
