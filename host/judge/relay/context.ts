// What every check of a relay by itself sees.

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

/** Gathers its checks from one run. */
export type RelayRule = (context: RelayContext) => Check[];

/** A limit as `numberCheck` takes it. */
export const limited = (limit: Limit) => ({
  ...(limit.lower === undefined ? {} : { lower: limit.lower }),
  ...(limit.upper === undefined ? {} : { upper: limit.upper }),
  origin: limit.origin,
});
