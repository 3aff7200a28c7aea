// A drive with limit switches may have stood anywhere before the run. Where a throw draws nothing though its leads stand
// right, and no other one tells that it only met its limit, every cause is asked from both ends of the travel as well.

import { standingAngles } from '../circuit/index.js';
import {
  DRIVEN_PART,
  FLOWING_A,
  isThrow,
  type MeasureResult,
  readingOf,
  throwCurrentA,
  unloadedSupply,
} from '../measure/index.js';
import { hasLimits } from '../profile/index.js';
import { type DiagnosisLibrary, diagnosisLibrary } from './library.js';

const kept = new WeakMap<DiagnosisLibrary, DiagnosisLibrary>();

/** `library` itself where no throw leaves that open, or the drive has no limits. */
export function fromAnyStart(library: DiagnosisLibrary, seen: MeasureResult): DiagnosisLibrary {
  const { unit, supplyV, entries, ownSupply } = library;
  if (!hasLimits(unit.style) || ownSupply || !seen.segments.some(mayHaveMetLimit(seen))) return library;
  const before = kept.get(library);
  if (before) return before;
  const stands = standingAngles(unit.style);
  const atEnds = diagnosisLibrary(unit, {
    supplyV,
    hypotheses: entries.map(({ hypothesis }) => hypothesis),
    stands: stands.slice(1),
  });
  const further = new Map(atEnds.entries.map(({ hypothesis, patterns }) => [hypothesis.id, patterns]));
  const asked = {
    ...library,
    stands,
    entries: entries.map((entry) => ({
      ...entry,
      patterns: [...entry.patterns, ...(further.get(entry.hypothesis.id) ?? [])],
    })),
  };
  kept.set(library, asked);
  return asked;
}

/** Both leads apart by the supply, with whatever feed, and nothing flows. */
const mayHaveMetLimit = ({ measured }: MeasureResult) => {
  const supplyV = unloadedSupply(measured)?.value ?? Number.POSITIVE_INFINITY;
  return ({ of }: MeasureResult['segments'][number]): boolean => {
    if (readingOf(measured, 'stopsAfterS', of)) return false;
    const currentA = throwCurrentA(measured, of);
    const [a, b] = [readingOf(measured, 'leadAVoltageV', of), readingOf(measured, 'leadBVoltageV', of)];
    const isDriven = a && b ? Math.abs(a.value - b.value) > DRIVEN_PART * supplyV : isThrow(of);
    return isDriven && currentA !== undefined && currentA < FLOWING_A;
  };
};
