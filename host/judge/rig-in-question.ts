// A unit fails only for what the rig's own links, contacts and clips cannot have done: while one of those explains the
// readings as well, it is looked at first and nothing is said against the unit.

import { HEALTHY } from '../diagnose/index.js';
import { lowered, withoutStop } from '../tell/index.js';
import { checkOf, untested } from './check.js';
import type { Check, CheckKind, Finding } from './verdict.js';

const RIG: CheckKind = { id: 'rig-in-question', of: 'rig', rank: -10 };
/** A rig that is less likely than this to have done it is not asked. Choice of this program, no source. */
const LEAST_SHARE = 0.05;

/** `checks` with the rig's own cause in front and failures taken back; as they are where no such cause is left. */
export function forRig(checks: readonly Check[], findings: readonly Finding[]): Check[] {
  const all = findings.flatMap((finding) => finding.causes ?? []);
  const causes = all.filter(({ owner }) => owner === 'rig');
  const share = causes.reduce((sum, { likelihood }) => sum + likelihood, 0);
  const [first] = causes.sort((a, b) => b.likelihood - a.likelihood);
  // What reads no more like the rig than like nothing wrong anywhere is not laid at its door.
  const byChance = all.find(({ id }) => id === HEALTHY)?.likelihood ?? 0;
  if (first === undefined || share < LEAST_SHARE || share < byChance) return [...checks];
  const sentence = `These readings are the rig's own if ${lowered(withoutStop(first.sentence))}. Rule that out first: ${lowered(first.nextProbe)}`;
  return [
    checkOf(RIG, { outcome: 'not-tested', sentence }),
    ...checks.map((check) => (check.required && check.outcome === 'fail' ? untested(check) : check)),
  ];
}
