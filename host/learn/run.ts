// What learning sees of one run of a good unit, and how its readings are put side by side.

import {
  isFullThrow,
  keyOf,
  type Measured,
  QUANTITIES,
  type QuantityName,
  type Reading,
  type RunStretch,
  supplyIn,
  supplyReadingFor,
  unloadedSupply,
} from '../measure/index.js';

export interface GoodRun {
  /** Tag of the unit: runs of one tag are starts of one unit. */
  unit: string;
  /** Id of the recorded run, or name of the capture file. */
  run: string;
  /** Of the record in its chain, or of the file. */
  sha256: string;
  measured: Measured;
  /** Ambient that the run may have had, C. */
  temperatureC: { from: number; to: number; told: boolean };
}

/**
 * Quantities of a verdict that a good unit can teach, each with the sides on which it is limited. Less resistance of a
 * wire is no fault; every further quantity makes all limits wider, since their coverage is shared.
 */
const TAUGHT: Partial<Record<QuantityName, 'both' | 'upper'>> = {
  inrushPeakA: 'both',
  runningCurrentA: 'both',
  settleS: 'both',
  coilCurrentA: 'both',
  stopsAfterS: 'both',
  speedRpm: 'both',
  heldRotorCurrentA: 'both',
  brakePeakA: 'both',
  releaseBackEmfV: 'both',
  runningAsymmetryPercent: 'both',
  feedResistanceOhm: 'upper',
  groundResistanceOhm: 'upper',
};

export const sidesOf = (what: QuantityName): 'both' | 'upper' | undefined =>
  QUANTITIES[what].isLearnable ? TAUGHT[what] : undefined;

/** A lower bound is no reading. */
const isTaught = ({ what, of, atLeast }: Reading): boolean =>
  sidesOf(what) !== undefined && !atLeast && (of === undefined || isFullThrow(of));

/** Value of one run, at its own supply. */
export interface Start {
  unit: string;
  value: number;
  expandedUncertainty: number;
  supplyV: number | undefined;
}

/** All runs' readings of one quantity of one stretch. */
export interface Column {
  key: string;
  what: QuantityName;
  of: RunStretch | undefined;
  unit: string;
  /** Of the quantity. */
  words: string;
  starts: Start[];
}

/** In the order of the first run that shows each. */
export function columnsOf(runs: readonly GoodRun[]): Column[] {
  const columns = new Map<string, Column>();
  for (const { unit, measured } of runs) {
    for (const reading of Object.values(measured)) {
      if (!isTaught(reading) || !Number.isFinite(reading.value)) continue;
      const { what, of } = reading;
      const key = keyOf(what, of);
      const column = columns.get(key) ?? {
        key,
        what,
        of,
        unit: reading.unit,
        words: QUANTITIES[what].words,
        starts: [],
      };
      columns.set(key, column);
      const { value, expandedUncertainty } = reading;
      column.starts.push({ unit, value, expandedUncertainty, supplyV: supplyOf(reading, measured) });
    }
  }
  return [...columns.values()].filter(standsClear);
}

/** A coil that is not there, a drop within the noise: nothing that a limit could be drawn around. Differences are. */
const standsClear = ({ unit, starts }: Column): boolean =>
  unit === '%' ||
  starts.filter(({ value, expandedUncertainty }) => Math.abs(value) > expandedUncertainty).length >
    starts.length / 2;

/** The supply that a reading goes with; undefined where its law has no power of it. */
export function supplyOf({ what, of }: Pick<Reading, 'what' | 'of'>, measured: Measured): number | undefined {
  const power = QUANTITIES[what].law?.supply;
  if (power === undefined || power === 0) return undefined;
  const by = supplyReadingFor({ what, ...(of ? { of } : {}) }, measured);
  return by === undefined ? undefined : supplyIn(measured, by, of);
}

/** At rest, before anything drew on it; undefined where no supply was sampled. */
export const restSupply = (measured: Measured): number | undefined => unloadedSupply(measured)?.value;
