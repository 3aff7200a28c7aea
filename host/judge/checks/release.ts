// After each throw: the motor coasts or brakes, and to which rail, as its style says.

import { familyOf } from '../../circuit/index.js';
import { atStart, type ReleaseClass, type RunStretch } from '../../measure/index.js';
import { reading } from '../../tell/index.js';
import { checkOf } from '../check.js';
import type { Check, CheckKind } from '../verdict.js';
import { type CheckContext, NOT_MEASURED, seenOf, segmentOf, whyMissing } from './context.js';

const TOLD: Record<ReleaseClass, string> = {
  coast: 'coasts, both leads open',
  'brake-ground': 'brakes to ground',
  'brake-high': 'brakes to the feed',
  still: 'stops dead, without back-EMF or brake current',
  driven: 'goes on being driven',
};
const SHOULD: Record<ReleaseClass, string> = {
  coast: 'should coast',
  'brake-ground': 'should brake to ground',
  'brake-high': 'should brake to the feed',
  still: 'should stop dead',
  driven: 'should go on running',
};

const RELEASE: CheckKind = { id: 'release', of: 'unit', rank: 130, isOfCourse: true };
/** Friction may be all that stops a motor that nobody has numbers of. */
const STILL: CheckKind = { ...RELEASE, usual: 'back-EMF at release', shows: { friction: 'up' } };
export const isRelease = ({ kind }: Check): boolean => kind.id === RELEASE.id;

export function releaseChecks(context: CheckContext): Check[] {
  // A known load shows neither back-EMF nor brake: only whether it goes on being fed.
  const isLoad = context.unit.load !== undefined;
  return context.expectation.throws.flatMap(({ of, release: expected }): Check[] => {
    if (!expected) return [];
    const words = atStart(of);
    const segment = segmentOf(context, of);
    const release = segment?.release;
    if (isLoad) {
      if (release === undefined) return [];
      const driven = release === 'driven';
      return [
        checkOf(RELEASE, {
          throw: of,
          sentence: driven
            ? `${words}: released, the load goes on being fed.`
            : `${words}: released, the load is dead at once.`,
          outcome: driven ? 'fail' : 'pass',
        }),
      ];
    }
    if (!release && segment?.startsAnywhere && seenOf(context, 'stopsAfterS', of))
      return [
        checkOf(RELEASE, {
          ...{ throw: of, origin: 'model', outcome: 'not-tested', required: false },
          sentence: `${words}: release cannot be told, the drive stood at its limit when it was let go.`,
        }),
      ];
    if (segment?.loadStep?.kind === 'stands')
      return [
        checkOf(RELEASE, {
          ...{ throw: of, origin: 'model', outcome: 'not-tested', required: false },
          sentence: `${words}: release cannot be told, the motor stood when it was let go.`,
        }),
      ];
    if (segment?.reversedAtOnce)
      return [
        checkOf(RELEASE, {
          ...{ throw: of, origin: 'model', outcome: 'not-tested', required: false },
          sentence: `${words}: release cannot be told, the other throw followed at once.`,
        }),
      ];
    if (!release) {
      const why = whyMissing(context, of);
      const isVague =
        why === NOT_MEASURED &&
        familyOf(context.unit) !== undefined &&
        seenOf(context, 'runningCurrentA', of) !== undefined;
      return [
        checkOf(RELEASE, {
          ...{ throw: of, origin: 'model', outcome: 'not-tested' },
          // Nobody can ask it of a motor that friction stops before the contact has moved.
          required: !isVague,
          sentence: isVague
            ? `${words}: release cannot be told, ${
                isLone(context)
                  ? 'the leads were not sampled'
                  : 'the motor stops too soon to see what the contacts do'
              }.`
            : `${words}: release ${why}.`,
        }),
      ];
    }
    const proof = seenOf(context, 'releaseBackEmfV', of) ?? seenOf(context, 'brakePeakA', of);
    const shown = proof
      ? ` with ${proof.unit === 'V' ? 'a back-EMF of' : 'a brake current of'} ${reading(proof.value, proof.expandedUncertainty, proof.unit)}`
      : '';
    const right = release === expected;
    return [
      checkOf(release === 'still' ? STILL : RELEASE, {
        throw: of,
        origin: release === 'still' && familyOf(context.unit) !== undefined ? 'generic' : 'model',
        // A motor that shows neither back-EMF nor brake is at fault itself; any other wrong release is made by contacts.
        ...(right ? {} : { of: release === 'still' ? 'motor' : 'harness' }),
        sentence: `${words}: released, the motor ${TOLD[release]}${shown}${right ? '' : `; it ${SHOULD[expected]}`}.`,
        ...(proof
          ? { value: proof.value, unit: proof.unit, expandedUncertainty: proof.expandedUncertainty }
          : {}),
        outcome: right ? 'pass' : 'fail',
        required: !(release === 'still' && showsElsewhere(context, of)),
      }),
    ];
  });
}

const isLone = ({ seen: { notSampled } }: CheckContext): boolean =>
  notSampled.includes('leadAVoltageV') || notSampled.includes('leadBVoltageV');

/** Whether another throw of a motor that nobody has numbers of released as its style says: what weighs on it the other way may stop it at once. */
const showsElsewhere = (context: CheckContext, of: RunStretch): boolean =>
  familyOf(context.unit) !== undefined &&
  context.expectation.throws.some(
    (other) => other.of.id !== of.id && segmentOf(context, other.of)?.release === other.release,
  );
