// Causes weighed again by what a probe gave: Bayes' rule, with the meter's uncertainty and what the unit's own tolerances
// leave open in each reading.

import { type Hypothesis, numberTerm } from '../diagnose/index.js';
import { meterUncertainty, type Range } from './hand-meter.js';
import type { Expected, Probe, Reading, Shown } from './probe.js';

/** A cause with its weight, and every way in which it shows. */
export interface Suspect {
  cause: Hypothesis;
  /** Before any probe. */
  weight: number;
  /** What stands before the probing speaks for it; the others come in when that fits nothing. */
  isNamed: boolean;
  ways: readonly Shown[];
  /** What it would read were nothing wrong: a cause that comes in degrees reads anything between. */
  good: Shown;
}

/** Part of each reading that tolerances of motor, supply, contacts and coils leave open, and a floor. Common practice, no source. */
const OPEN_PART: Record<Range, number> = { volts: 0.04, 'rig-volts': 0.04, ohms: 0.08, diode: 0.1 };
const OPEN_FLOOR: Record<Range, number> = { volts: 0.12, 'rig-volts': 0.12, ohms: 0.1, diode: 0.03 };
/** Of Student's density with the house's four degrees of freedom, at its middle. */
const DENSITY = 0.375;
/** Open where a number is foretold: a tip that slipped. Choice of this program, no source. */
const SLIPPED = 0.01;
/** A tip on the wrong place, a slip of the pen: any cause reads anything with this chance. Choice of this program, no source. */
const MISREAD = 0.01;
/** Degrees of a cause, as parts of its full strength. */
const DEGREES = [0.3, 0.6, 1];

/** How likely a reading is when nothing on the list is the matter: anything that the range shows. */
export function unlistedLikelihood({ takes }: Probe, reading: Reading): number {
  if (reading.kind === 'answer' || takes.kind === 'answer') return 0.5;
  const { value } = reading;
  switch (takes.range) {
    case 'ohms':
      return Number.isFinite(value) ? 0.5 / (Math.max(value, 0.5) * Math.log(1e6)) : 0.5;
    case 'diode':
      return Number.isFinite(value) ? 0.25 : 0.5;
    default:
      return 1 / 16;
  }
}

/**
 * How likely the reading is under the cause in each of its variants. A cause shows in one of them only: what speaks for one
 * in this reading must speak for the same one in the next.
 */
export function likelihoodsOf(
  probe: Probe,
  reading: Reading,
  suspect: Suspect,
  foretold: Foretold = exactly,
): number[] {
  const anything = MISREAD * unlistedLikelihood(probe, reading);
  return expectedOf(probe, suspect, foretold).map(
    (expected) => (1 - MISREAD) * likelihood(probe, reading, expected) + anything,
  );
}

/** What a probe is asked by: exactly, or at a glance. */
export type Foretold = (probe: Probe, shown: Shown) => Expected;
export const exactly: Foretold = (probe, shown) => probe.expect(shown);
export const nearly: Foretold = (probe, shown) => (probe.nearly ?? probe.expect)(shown);

/** Ways in which a cause shows, each in every degree that it may have. */
export const variantsOf = ({ cause, ways }: Suspect): number => ways.length * degreesOf(cause).length;

/** What the probe would give under the cause, by variant. */
export function expectedOf(
  probe: Probe,
  { cause, ways, good }: Suspect,
  foretold: Foretold = exactly,
): Expected[] {
  const none = cause.comesInDegrees ? foretold(probe, good) : undefined;
  return ways.flatMap((way) => {
    const full = foretold(probe, way);
    return degreesOf(cause).map((degree) => inDegree(full, none, degree));
  });
}

const degreesOf = ({ comesInDegrees }: Hypothesis): readonly number[] => (comesInDegrees ? DEGREES : [1]);

function inDegree(full: Expected, none: Expected | undefined, degree: number): Expected {
  if (none === undefined || !('value' in full) || !('value' in none)) return full;
  if (!Number.isFinite(full.value) || !Number.isFinite(none.value)) return full;
  return { value: none.value + degree * (full.value - none.value) };
}

function likelihood({ takes, leavesOpen }: Probe, reading: Reading, expected: Expected): number {
  if (reading.kind === 'answer') {
    const yes = 'yes' in expected ? expected.yes : 0.5;
    return reading.yes ? yes : 1 - yes;
  }
  if (!('value' in expected) || takes.kind === 'answer') return 1;
  const [isOpen, isOpenForetold] = [!Number.isFinite(reading.value), !Number.isFinite(expected.value)];
  // A number where open is foretold is a misreading, whatever it is.
  if (isOpenForetold) return isOpen ? 1 - SLIPPED : 0;
  if (isOpen) return SLIPPED;
  const deviation = Math.hypot(
    reading.standardUncertainty ?? meterUncertainty(takes.range, reading.value),
    (leavesOpen?.part ?? OPEN_PART[takes.range]) * expected.value,
    leavesOpen?.floor ?? OPEN_FLOOR[takes.range],
  );
  return (DENSITY * Math.exp(numberTerm((reading.value - expected.value) / deviation))) / deviation;
}
