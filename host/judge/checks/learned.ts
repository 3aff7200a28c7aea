// What known good units taught beyond what every unit is asked: brake, back-EMF, resistance of the way there and back.

import { atStart, type QuantityName } from '../../measure/index.js';
import { checkOf, numberCheck } from '../check.js';
import type { Check, CheckKind } from '../verdict.js';
import { type CheckContext, seenOf, taughtLimits, whyMissing } from './context.js';

interface Taught {
  what: QuantityName;
  kind: CheckKind;
  /** Before a reading, and where there is none. */
  words: string;
  named: string;
}

const TAUGHT: readonly Taught[] = [
  {
    what: 'brakePeakA',
    kind: { id: 'learned-brake', of: 'motor', rank: 165, isOfTurning: true },
    words: 'released, the brake current peaks at',
    named: 'peak of the brake current',
  },
  {
    what: 'releaseBackEmfV',
    kind: { id: 'learned-back-emf', of: 'motor', rank: 165, isOfTurning: true },
    words: 'on release the motor gives back',
    named: 'back-EMF at release',
  },
  {
    what: 'feedResistanceOhm',
    kind: { id: 'learned-feed-path', of: 'harness', rank: 135 },
    words: 'from the supply to the driven lead reads',
    named: 'resistance from the supply to the driven lead',
  },
  {
    what: 'groundResistanceOhm',
    kind: { id: 'learned-ground-path', of: 'harness', rank: 135 },
    words: 'from the return lead to ground reads',
    named: 'resistance from the return lead to ground',
  },
];

export function learnedChecks(context: CheckContext): Check[] {
  return context.expectation.throws.flatMap(({ of }) =>
    TAUGHT.flatMap(({ what, kind, words, named }): Check[] => {
      const limits = taughtLimits(context, what, of);
      if (!limits) return [];
      const quantity = context.supplyHolds ? seenOf(context, what, of) : undefined;
      const finite = (limit: number): number | undefined => (Number.isFinite(limit) ? limit : undefined);
      return [
        numberCheck(kind, {
          throw: of,
          subject: `${atStart(of)}: ${words}`,
          named: `${atStart(of)}: ${named}`,
          quantity,
          lower: finite(limits.lower),
          upper: finite(limits.upper),
          // Why it was not read is told by the checks of its throw.
          required: quantity !== undefined,
          origin: limits.origin,
          goodUnits: limits.goodUnits,
          missing: whyMissing(context, of),
        }),
      ];
    }),
  );
}

const SILENT: CheckKind = { id: 'learned-limits', of: 'unit', rank: 190, isAlwaysTold: true };

/** Told where the limits of good units say nothing of this run, which is then held to the usual ones. */
export const learnedIsSilent = (why: string): Check =>
  checkOf(SILENT, {
    required: false,
    outcome: 'not-tested',
    origin: 'learned',
    sentence: `Limits of known good units say nothing of this run: ${why}.`,
  });
