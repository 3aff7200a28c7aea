// A unit fails only for what the rig's own links, contacts and clips cannot have done, and what does not go by itself as a
// motor cools: while one of those explains the readings as well, it is looked at first and nothing is said against the unit.

import { HEALTHY, type RankedCause } from '../diagnose/index.js';
import { lowered, withoutStop } from '../tell/index.js';
import { checkOf, isFailed, untested } from './check.js';
import type { Check, CheckKind, Finding } from './verdict.js';

const RIG: CheckKind = { id: 'rig-in-question', of: 'rig', rank: -10 };
/** A rig that is less likely than this to have done it is not asked. Choice of this program, no source. */
const LEAST_SHARE = 0.05;

const PASSING: CheckKind = { id: 'may-pass', of: 'motor', rank: -10 };
/** From this share on nobody would repair before trying again. Choice of this program, no source. */
const LEAST_PASSING_SHARE = 0.3;

/** `checks` with the rig's own cause in front and failures taken back; as they are where no such cause is left. */
export function forRig(checks: readonly Check[], findings: readonly Finding[]): Check[] {
  const all = findings.flatMap((finding) => finding.causes ?? []);
  // A clip that reads as a joint of the unit's does is asked where it comes before that joint: where a rig fed the run.
  const { first, share } = together(
    findings.flatMap(({ causes = [] }) =>
      causes.filter(
        ({ owner, readsAsUnits }) => owner === 'rig' && (!readsAsUnits || causes[0]?.readsAsUnits),
      ),
    ),
  );
  // What reads no more like the rig than like nothing wrong anywhere is not laid at its door.
  const byChance = all.find(({ id }) => id === HEALTHY)?.likelihood ?? 0;
  if (first === undefined || share < LEAST_SHARE || share < byChance) return [...checks];
  const sentence = `This may be the rig, not the unit: ${lowered(withoutStop(first.sentence))}. Rule that out first: ${lowered(first.nextProbe)}${ifTheSame(first, findings)}`;
  return [
    checkOf(RIG, { outcome: 'not-tested', sentence }),
    ...checks.map((check) => (isFailed(check) ? untested(check) : check)),
  ];
}

/** Behind a clip of the rig: what it is once that has been pressed. */
function ifTheSame(clip: RankedCause, findings: readonly Finding[]): string {
  const [, joint] = findings.map(({ causes = [] }) => causes).find(([first]) => first === clip) ?? [];
  return clip.readsAsUnits && joint !== undefined
    ? ` If it reads the same then: ${lowered(joint.sentence)}`
    : '';
}

/** The same of what goes by itself, for failures of the motor alone. */
export function forPassing(checks: readonly Check[], findings: readonly Finding[]): Check[] {
  const { first, share } = together(
    findings.flatMap(({ causes = [] }) => causes.filter(({ isPassing }) => isPassing)),
  );
  const isMotors = checks.filter(isFailed).every(({ of }) => of === 'motor' || of === 'unit');
  if (first === undefined || share < LEAST_PASSING_SHARE || !isMotors) return [...checks];
  const sentence = `This may be no fault and go by itself: ${lowered(withoutStop(first.sentence))}. Try that first: ${lowered(first.nextProbe)}`;
  return [
    checkOf(PASSING, { outcome: 'not-tested', sentence }),
    ...checks.map((check) => (isFailed(check) ? untested(check) : check)),
  ];
}

/** What explains the readings less than this better than a good unit has not made them. Choice of this program, no source. */
const LEAST_OVER_GOOD = Math.log(20);

/** The likeliest of some causes that explain anything, and what those are given together. */
function together(causes: readonly RankedCause[]): { first: RankedCause | undefined; share: number } {
  const telling = causes.filter(({ overGood = Number.POSITIVE_INFINITY }) => overGood >= LEAST_OVER_GOOD);
  const [first] = [...telling].sort((a, b) => b.likelihood - a.likelihood);
  return { first, share: telling.reduce((sum, { likelihood }) => sum + likelihood, 0) };
}
