// While a known-load check of the rig stands failed nothing passes, and a unit fails only for what does not rest on the
// channel that was misread.

import type { RigProfile } from '../profile/index.js';
import { checkOf, isFailed, untested } from './check.js';
import type { Check, CheckKind } from './verdict.js';

const IN_DOUBT: CheckKind = { id: 'rig-in-doubt', of: 'rig', rank: -20, isAlwaysTold: true };

/** `checks` with the doubt in front and what rests on it taken back; as they are where no channel is in doubt. */
export function forDoubt(checks: readonly Check[], { doubted = [] }: Pick<RigProfile, 'doubted'>): Check[] {
  if (doubted.length === 0) return [...checks];
  const rests = ({ kind: { isGross, reads } }: Check): boolean =>
    isGross !== true && doubted.some(({ channel }) => reads?.includes(channel) ?? true);
  return [
    ...doubted.map(({ sentence }) => checkOf(IN_DOUBT, { outcome: 'not-tested', sentence })),
    ...checks.map((check) => (isFailed(check) && rests(check) ? untested(check) : check)),
  ];
}
