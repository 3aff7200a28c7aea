// Stretches of a run and of its plan paired by what they are, in times that differ.

import { describe, expect, it } from 'vitest';
import type { Feed } from '../../../host/capture/index.js';
import { pairs } from '../../../host/judge/checks/course.js';
import { LEAD_IN, runStretch, type Segment } from '../../../host/measure/index.js';
import type { Plan } from '../../../host/profile/index.js';
import { captureOf, FORWARD, REVERSE, segmentOf } from '../handmade.js';

const step = (position: Plan['steps'][number]['position'], durationS: number, feed: Feed = 'full') => ({
  position,
  durationS,
  feed,
});
/** The plan's time begins behind the model's lead-in of 0.2 s. */
const LEAD_IN_S = 0.2;
const REST = runStretch('full', 'rest');
const BEHIND = runStretch('full', 'rest', { nth: 2, behind: FORWARD });
const STEPS = [step('rest', 0.3), step('forward', 0.9), step('rest', 0.7), step('reverse', 0.8)];
const SEEN = [
  segmentOf(REST, { fromS: 0, toS: 1 }),
  segmentOf(FORWARD, { fromS: 1, toS: 2 }),
  segmentOf(BEHIND, { fromS: 2, toS: 3 }),
  segmentOf(REVERSE, { fromS: 3, toS: 4 }),
];
const UNTOLD = captureOf([{ position: 'rest', durationS: 4 }], 10);
const paired = (segments: readonly Segment[], steps: Plan['steps'] = STEPS, capture = UNTOLD) =>
  pairs(steps, segments, capture).map(({ planned, seen }) => ({
    id: planned.of.id,
    planned: [planned.fromS, planned.toS].map((s) => Number(s.toFixed(9))),
    seen: [seen.fromS, seen.toS],
  }));

describe('stretches of run and plan', () => {
  it('are paired in the order of the plan, each in its own time', () => {
    expect(paired(SEEN)).toEqual([
      { id: 'rest', planned: [LEAD_IN_S, 0.5], seen: [0, 1] },
      { id: 'forward', planned: [0.5, 1.4], seen: [1, 2] },
      { id: 'rest2', planned: [1.4, 2.1], seen: [2, 3] },
      { id: 'reverse', planned: [2.1, 2.9], seen: [3, 4] },
    ]);
  });

  it('keep what measuring made of them', () => {
    expect(pairs(STEPS, SEEN, UNTOLD).map(({ seen }) => seen.segment)).toEqual(SEEN);
  });

  it('that only one of the two has are left out, and rests are told by the throw before them', () => {
    // Without its first rest a run's first rest is the one behind the throw.
    const behindOnly = segmentOf(runStretch('full', 'rest', { behind: FORWARD }), { fromS: 1, toS: 2 });
    expect(paired([segmentOf(FORWARD), behindOnly]).map(({ id, seen }) => [id, seen])).toEqual([
      ['forward', [0, 1]],
      ['rest2', [1, 2]],
    ]);
    expect(paired([segmentOf(runStretch('full', 'forward', { nth: 2 }))])).toEqual([]);
  });

  it('are one where two steps follow each other alike', () => {
    const steps = [step('rest', 0.3), step('rest', 0.2), step('forward', 0.9)];
    expect(paired(SEEN, steps).map(({ id, planned }) => [id, planned])).toEqual([
      ['rest', [0.2, 0.7]],
      ['forward', [0.7, 1.6]],
    ]);
  });

  it('are two where the feed changes, and a feed that is off belongs to the one before it', () => {
    const steps = [
      step('rest', 0.1, 'limited'),
      step('rest', 0.1, 'off'),
      step('rest', 0.3),
      step('forward', 0.9),
    ];
    const segments = [segmentOf(runStretch('limited', 'rest')), ...SEEN];
    expect(paired(segments, steps).map(({ id, planned }) => [id, planned])).toEqual([
      ['limitedRest', [0.2, 0.4]],
      ['rest', [0.4, 0.7]],
      ['forward', [0.7, 1.6]],
    ]);
  });

  it('with the feed off from the start are those of the full feed', () => {
    expect(
      paired(SEEN, [step('rest', 0.3, 'off'), step('forward', 0.9)]).map(({ id, planned }) => [id, planned]),
    ).toEqual([
      ['rest', [0.2, 0.5]],
      ['forward', [0.5, 1.4]],
    ]);
  });

  it('with the feed off in the middle of a throw go on as that throw', () => {
    expect(
      paired(SEEN, [step('forward', 0.4), step('forward', 0.5, 'off')]).map(({ id, planned }) => [
        id,
        planned,
      ]),
    ).toEqual([['forward', [0.2, 1.1]]]);
  });
});

describe('a lead-in with everything off', () => {
  const fed = (offS: number) =>
    captureOf(
      [
        { position: 'rest', feed: 'off', durationS: offS },
        { position: 'rest', feed: 'full', durationS: 1 },
      ],
      10,
    );

  it('is a stretch of its own, and the rest behind it begins where the feed comes on', () => {
    const [leadIn, rest] = pairs(STEPS, SEEN, fed(0.5));
    expect(leadIn?.planned).toEqual({ of: LEAD_IN, fromS: 0, toS: LEAD_IN_S });
    expect(leadIn?.seen).toEqual({ of: LEAD_IN, fromS: 0, toS: 0.5 });
    expect(rest?.seen).toMatchObject({ fromS: 0.5, toS: 1 });
  });

  it('moves no stretch that begins later', () => {
    expect(paired(SEEN, STEPS, fed(0.5))[2]).toMatchObject({ id: 'forward', seen: [1, 2] });
  });

  it('begins where the capture does', () => {
    const late = fed(0.5);
    const [leadIn] = pairs(STEPS, SEEN, { ...late, timeS: late.timeS.map((s) => s + 7) });
    expect(leadIn?.seen).toEqual({ of: LEAD_IN, fromS: 7, toS: 7.5 });
  });

  it.each([
    [
      'the feed is on from the first sample',
      captureOf([{ position: 'rest', feed: 'full', durationS: 1 }], 10),
    ],
    ['the feed never comes on', captureOf([{ position: 'rest', feed: 'off', durationS: 1 }], 10)],
    ['the feed was not told', UNTOLD],
  ])('is none where %s', (_, capture) => {
    expect(paired(SEEN, STEPS, capture)[0]).toMatchObject({ id: 'rest', seen: [0, 1] });
  });
});
