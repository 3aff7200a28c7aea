// What every check of a relay by itself sees, and the two shapes that most of them have.

import type { RelayMeasured } from '../../measure/index.js';
import type { RelayProfile, ResolvedUnit } from '../../profile/index.js';
import type { Check } from '../verdict.js';
import type { Limit } from './limits.js';

export interface RelayContext {
  unit: ResolvedUnit;
  relay: RelayProfile;
  seen: RelayMeasured;
  stop: string | undefined;
}

/** A check without a number. */
export const said = (
  id: string,
  outcome: Check['outcome'],
  sentence: string,
  origin: Check['origin'] = 'generic',
  required = true,
): Check => ({ id, sentence, outcome, required, origin });

/** A limit as `numberCheck` takes it. */
export const limited = (limit: Limit) => ({
  ...(limit.lower === undefined ? {} : { lower: limit.lower }),
  ...(limit.upper === undefined ? {} : { upper: limit.upper }),
  origin: limit.origin,
});
