// After each throw: what the motor did, against what its style promises, for every pair of the two.

import { describe, expect, it } from 'vitest';
import { isRelease, releaseChecks } from '../../../host/judge/checks/release.js';
import { restChecks } from '../../../host/judge/checks/rest.js';
import type { ReleaseClass } from '../../../host/measure/index.js';
import { contextOf, FORWARD, type Handmade, REVERSE, segmentOf, shipped, told } from '../handmade.js';

const DID: Record<ReleaseClass, string> = {
  coast: 'coasts, both leads open',
  'brake-ground': 'brakes to ground',
  'brake-high': 'brakes to the feed',
  still: 'stops dead, without back-EMF or brake current',
  driven: 'goes on being driven',
};
const SHOULD: Record<ReleaseClass, string> = {
  coast: 'it should coast',
  'brake-ground': 'it should brake to ground',
  'brake-high': 'it should brake to the feed',
  still: 'it should stop dead',
  driven: 'it should go on running',
};
const CLASSES = Object.keys(DID) as ReleaseClass[];

const asked = (expected: ReleaseClass | undefined, seen: ReleaseClass | undefined, made: Handmade = {}) =>
  releaseChecks(
    contextOf({
      throws: [{ of: FORWARD, release: expected }],
      segments: [segmentOf(FORWARD, seen === undefined ? {} : { release: seen })],
      ...made,
    }),
  );

describe('a motor released', () => {
  it.each(CLASSES.flatMap((expected) => CLASSES.map((seen) => [expected, seen] as const)))(
    'where %s is expected and %s is seen',
    (expected, seen) => {
      const [check, ...more] = asked(expected, seen);
      expect(more).toEqual([]);
      const isRight = expected === seen;
      expect(check).toMatchObject({
        id: 'release-forward',
        throw: FORWARD,
        origin: 'model',
        required: true,
        outcome: isRight ? 'pass' : 'fail',
        of: isRight ? 'unit' : seen === 'still' ? 'motor' : 'harness',
        sentence: `Forward: released, the motor ${DID[seen]}${isRight ? '' : `; ${SHOULD[expected]}`}.`,
      });
      expect(check?.value).toBeUndefined();
    },
  );

  it('shows a back-EMF while it coasts', () => {
    const [check] = asked('coast', 'coast', {
      read: [[FORWARD, { releaseBackEmfV: [9.6, 0.1], brakePeakA: 3 }]],
    });
    expect(check).toMatchObject({
      value: 9.6,
      unit: 'V',
      expandedUncertainty: 0.1,
      sentence: 'Forward: released, the motor coasts, both leads open with a back-EMF of 9.60 ± 0.10 V.',
    });
  });

  it('shows a current while it brakes', () => {
    const [check] = asked('coast', 'brake-ground', { read: [[FORWARD, { brakePeakA: [9.1, 0.13] }]] });
    expect(check).toMatchObject({
      value: 9.1,
      unit: 'A',
      expandedUncertainty: 0.13,
      sentence:
        'Forward: released, the motor brakes to ground with a brake current of 9.10 ± 0.13 A; it should coast.',
    });
  });

  it('is not tested where nothing of it was seen, and says why', () => {
    expect(told(asked('coast', undefined))).toEqual([
      ['release-forward', 'not-tested', 'Forward: release not measured.'],
    ]);
    const [missing] = asked('coast', 'coast', { segments: [] });
    expect(missing).toMatchObject({
      throw: FORWARD,
      origin: 'model',
      outcome: 'not-tested',
      sentence: 'Forward: release not tested, this throw was not made.',
    });
  });

  it('is not asked about where good units do not agree', () => {
    expect(asked(undefined, 'coast')).toEqual([]);
  });

  it('is asked about for every throw', () => {
    const throws = [FORWARD, REVERSE].map((of) => ({ of, release: 'coast' as const }));
    const segments = [
      segmentOf(FORWARD, { release: 'coast' }),
      segmentOf(REVERSE, { fromS: 2, toS: 3, release: 'driven' }),
    ];
    expect(told(asked('coast', 'coast', { throws, segments })).map(([id, outcome]) => [id, outcome])).toEqual(
      [
        ['release-forward', 'pass'],
        ['release-reverse', 'fail'],
      ],
    );
  });
});

describe('a throw that the other one followed at once', () => {
  it('shows nothing of its release, whatever was read there', () => {
    const throws = [FORWARD, REVERSE].map((of) => ({ of, release: 'coast' as const }));
    const segments = [
      segmentOf(FORWARD, { fromS: 0, toS: 1, release: 'brake-ground' }),
      segmentOf(REVERSE, { fromS: 1.005, toS: 2, release: 'coast' }),
    ];
    const [forward, reverse] = asked('coast', 'coast', { throws, segments });
    expect(forward).toMatchObject({
      outcome: 'not-tested',
      required: false,
      sentence: 'Forward: release cannot be told, the other throw followed at once.',
    });
    expect(reverse?.outcome).toBe('pass');
  });
});

describe('a known load released', () => {
  const unit = shipped('relay-pair-harness-load');
  const load = (seen: ReleaseClass | undefined) => asked('brake-ground', seen, { unit });

  it('is dead at once, whatever a motor would do', () => {
    for (const seen of ['coast', 'still', 'brake-ground'] as const)
      expect(told(load(seen))).toEqual([
        ['release-forward', 'pass', 'Forward: released, the load is dead at once.'],
      ]);
  });
  it('fails when it goes on being fed', () => {
    expect(told(load('driven'))).toEqual([
      ['release-forward', 'fail', 'Forward: released, the load goes on being fed.'],
    ]);
    expect(load('driven')[0]).toMatchObject({ throw: FORWARD, of: 'unit', origin: 'generic' });
  });
  it('is not asked about where nothing was seen', () => expect(load(undefined)).toEqual([]));
});

it('the check of a release is known from others', () => {
  expect(asked('coast', 'coast').map(isRelease)).toEqual([true]);
  expect(restChecks(contextOf()).map(isRelease)).toEqual([false]);
});
