// What to measure before any power: the fewest readings that show every wiring fault which a hand meter can see at all,
// what each must show, and what is left to be seen under current.

import { type Fault, faultsOfUnit } from '../circuit/index.js';
import { displayed, meterUncertainty } from '../probe/index.js';
import type { ResolvedUnit } from '../profile/index.js';
import { type MeterReading, meterReadings } from './meter-states.js';

/** What two readings of one meter may differ by, as a multiple of its standard uncertainty: 95 %. */
const COVERAGE = 2;
/** From and to which a good one may show; Infinity for open. */
export interface Shows {
  least: number;
  most: number;
}

export interface MeterCheck {
  reading: MeterReading;
  shows: Shows;
  /** Faults that this reading alone of the set shows. */
  onlyHere: readonly Fault[];
  /** All that it shows. */
  sees: readonly Fault[];
}

export interface MeterChecks {
  checks: readonly MeterCheck[];
  /** Not to be seen without current: joints below an ohm, and what only moves when it is fed. */
  unseen: readonly Fault[];
}

export function showsOf({ range, spread, floor }: MeterReading, value: number): Shows {
  if (displayed(range, value) === Number.POSITIVE_INFINITY) return OPEN;
  const error = Math.max(floor, spread * value) + COVERAGE * meterUncertainty(range, value);
  return { least: Math.max(0, value - error), most: value + error };
}
const OPEN: Shows = { least: Number.POSITIVE_INFINITY, most: Number.POSITIVE_INFINITY };

/** Whether no meter of this kind could show the one for the other. */
const isApart = (one: Shows, other: Shows): boolean => one.most < other.least || other.most < one.least;

/** Whether a fault makes the reading another one, for certain. */
export const isSeen = (reading: MeterReading, faults: readonly Fault[]): boolean =>
  isApart(showsOf(reading, reading.shown([])), showsOf(reading, reading.shown(faults)));

/**
 * Faults of wires, sockets, switches, relays and fuses, and what of the motor is open or touches its case; of a relay by
 * itself what is wrong in it, for nobody looks at its socket.
 */
export const metersFaults = (unit: ResolvedUnit): Fault[] =>
  faultsOfUnit(unit).filter(({ owner, kind }) =>
    owner === 'harness'
      ? unit.unit.subject !== 'relay' || kind !== 'exchanged'
      : owner === 'motor' && (kind === 'open' || kind === 'shorted'),
  );

/** @param readings of which to choose. */
export function meterChecks(unit: ResolvedUnit, readings = meterReadings(unit)): MeterChecks {
  const faults = metersFaults(unit);
  const seenBy = readings.map((reading) => new Set(faults.filter((fault) => isSeen(reading, [fault]))));
  const chosen = withoutSpare(covering(seenBy), seenBy).sort((one, other) => one - other);
  const union = new Set(chosen.flatMap((i) => [...(seenBy[i] ?? [])]));
  return {
    checks: chosen.flatMap((i): MeterCheck[] => {
      const reading = readings[i];
      if (reading === undefined) return [];
      const sees = [...(seenBy[i] ?? [])];
      const others = new Set(chosen.flatMap((k) => (k === i ? [] : [...(seenBy[k] ?? [])])));
      return [
        {
          reading,
          shows: showsOf(reading, reading.shown([])),
          sees,
          onlyHere: sees.filter((fault) => !others.has(fault)),
        },
      ];
    }),
    unseen: faults.filter((fault) => !union.has(fault)),
  };
}

/** Greedy: always the reading that shows most of what no earlier one does; of equals the first, which is the easiest. */
function covering(seenBy: readonly ReadonlySet<Fault>[]): number[] {
  const left = new Set(seenBy.flatMap((seen) => [...seen]));
  const chosen: number[] = [];
  while (left.size > 0) {
    const gains = seenBy.map((seen) => [...seen].filter((fault) => left.has(fault)).length);
    const best = gains.indexOf(Math.max(...gains));
    chosen.push(best);
    for (const fault of seenBy[best] ?? []) left.delete(fault);
  }
  return chosen;
}

/** What later choices made needless is left out, the hardest to take first. */
function withoutSpare(chosen: readonly number[], seenBy: readonly ReadonlySet<Fault>[]): number[] {
  let kept = [...chosen];
  for (const i of [...chosen].sort((one, other) => other - one)) {
    const others = new Set(kept.flatMap((k) => (k === i ? [] : [...(seenBy[k] ?? [])])));
    if ([...(seenBy[i] ?? [])].every((fault) => others.has(fault))) kept = kept.filter((k) => k !== i);
  }
  return kept;
}
