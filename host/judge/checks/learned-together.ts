// All readings that good units taught, taken together: each may lie within its own limits, and still no good unit has them
// side by side.

import { learnedDistance } from '../../learn/index.js';
import { atStart, QUANTITIES } from '../../measure/index.js';
import { fixed, significant } from '../../tell/index.js';
import { checkOf, closeWords } from '../check.js';
import { outcomeOf } from '../decision.js';
import type { Check, CheckKind } from '../verdict.js';
import type { CheckContext } from './context.js';

const TOGETHER: CheckKind = {
  id: 'learned-together',
  of: 'unit',
  rank: 175,
  isOfTurning: true,
  isOfAllReadings: true,
};
const DIGITS = 3;

export function learnedTogetherCheck({ learned, seen, supplyHolds }: CheckContext): Check[] {
  if (!learned || !supplyHolds) return [];
  const found = learnedDistance(learned, seen.measured);
  if (found === undefined) return [];
  const { distance, expandedUncertainty, upper, readings, oddest, expected } = found;
  const outcome = outcomeOf(distance, expandedUncertainty, undefined, upper);
  const { what, of, value, unit } = oddest;
  const held = `distance ${fixed(distance, 1)} ± ${fixed(expandedUncertainty, 1)}, at most ${fixed(upper, 1)}, of ${learned.units} good units${closeWords(outcome)}`;
  const fits = `${readings} readings taken together are those of a good unit (${held}).`;
  const subject = of === undefined ? 'The' : `${atStart(of)}: the`;
  const odd =
    `${subject} ${QUANTITIES[what].words}, ${significant(value, DIGITS, unit)}, does not go with the other readings: ` +
    `by those a good unit has about ${significant(expected, DIGITS, unit)} (${held}).`;
  return [
    checkOf(TOGETHER, {
      ...{ origin: 'learned', outcome, sentence: distance > upper ? odd : fits },
      ...{ value: distance, unit: '1', expandedUncertainty, upper },
    }),
  ];
}
