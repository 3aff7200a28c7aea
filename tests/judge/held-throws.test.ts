// How long a held rotor's current stood and when its protector opened, as currents and leads show it; and a run cut back
// to its plan. Under 1 A counts as opened: published of window and seat motors. The other figures are common practice.

import { describe, expect, it } from 'vitest';
import type { Capture } from '../../host/capture/index.js';
import { heldThrows, withinPlan } from '../../host/judge/held-throws.js';
import type { Plan } from '../../host/profile/index.js';
import { captureOf, type Piece, shippedPlan } from './handmade.js';

const LIVE = { leadAVoltageV: 12, leadBVoltageV: 0.2, supplyVoltageV: 12 };
const rest = (durationS: number): Piece => ({ position: 'rest', feed: 'full', durationS, channels: {} });

/** A hold of 15 A from 10 ms after the command, gone after `openS` where one is told. */
const hold = (durationS: number, openS = Number.POSITIVE_INFINITY, more: Partial<Piece> = {}): Piece => ({
  position: 'forward',
  feed: 'full',
  durationS,
  channels: { ...LIVE, motorCurrentA: (atS) => (atS < 0.01 ? 0 : atS < openS ? 15 : 0.4) },
  ...more,
});

describe('a hold', () => {
  it('that nothing ends stands as long as it is thrown, from its contact on', () => {
    const [only, ...more] = heldThrows(captureOf([rest(0.1), hold(1), rest(0.1)]));
    expect(more).toEqual([]);
    expect(only?.position).toBe('forward');
    expect(only?.heldS).toBeCloseTo(0.989, 9);
    expect(only).not.toHaveProperty('opensAfterS');
  });

  it('that its protector ends tells when', () => {
    const [only] = heldThrows(captureOf([rest(0.1), hold(3, 2), rest(0.1)]));
    expect(only?.heldS).toBeCloseTo(1.989, 9);
    expect(only?.opensAfterS).toBeCloseTo(1.99, 9);
  });

  it('the other way has its current and its leads the other way', () => {
    const other: Piece = {
      position: 'reverse',
      feed: 'full',
      durationS: 3,
      channels: {
        leadAVoltageV: 0.2,
        leadBVoltageV: 12,
        supplyVoltageV: 12,
        motorCurrentA: (atS) => (atS < 2 ? -15 : -0.4),
      },
    };
    const [only] = heldThrows(captureOf([other]));
    expect(only).toMatchObject({ position: 'reverse' });
    expect(only?.opensAfterS).toBeCloseTo(2, 9);
  });

  it('that fades before it is off is held while half of its first current flows', () => {
    const fading = hold(3, 2, {
      channels: { ...LIVE, motorCurrentA: (atS) => (atS < 0.5 ? 16 : atS < 1.5 ? 8.1 : atS < 2 ? 7.9 : 0.4) },
    });
    const [only] = heldThrows(captureOf([fading]));
    expect(only?.heldS).toBeCloseTo(1.499, 9);
    expect(only?.opensAfterS).toBeCloseTo(2, 9);
  });

  it('whose feed goes with its current was not ended by a protector', () => {
    const dead = hold(3, 2, {
      channels: {
        supplyVoltageV: 12,
        leadAVoltageV: (atS) => (atS < 2 ? 12 : 5.9),
        leadBVoltageV: 0,
        motorCurrentA: (atS) => (atS < 2 ? 15 : 0),
      },
    });
    expect(heldThrows(captureOf([dead]))[0]).not.toHaveProperty('opensAfterS');
  });

  it('whose leads stand alike was not ended by one either', () => {
    const open = hold(3, 2, {
      channels: {
        supplyVoltageV: 12,
        leadAVoltageV: 12,
        leadBVoltageV: (atS) => (atS < 2 ? 0 : 12),
        motorCurrentA: (atS) => (atS < 2 ? 15 : 0),
      },
    });
    expect(heldThrows(captureOf([open]))[0]).not.toHaveProperty('opensAfterS');
  });

  it('whose contact bounces in its first tenth of a second goes on', () => {
    const bouncing = hold(1, 2, {
      channels: { ...LIVE, motorCurrentA: (atS) => (atS >= 0.01 && atS < 0.15 ? 0 : 15) },
    });
    const [only] = heldThrows(captureOf([rest(0.1), bouncing]));
    expect(only).not.toHaveProperty('opensAfterS');
    expect(only?.heldS).toBeCloseTo(0.999, 9);
  });

  it.each([
    ['lead A', { leadBVoltageV: 0, supplyVoltageV: 12 }],
    ['lead B', { leadAVoltageV: 0, supplyVoltageV: 12 }],
    ['both leads', { supplyVoltageV: 12 }],
  ])('is taken for fed where %s was not sampled', (_, channels) => {
    const blind = hold(3, 2, { channels: { ...channels, motorCurrentA: (atS) => (atS < 2 ? 15 : 0) } });
    expect(heldThrows(captureOf([blind]))[0]?.opensAfterS).toBeCloseTo(2, 9);
  });

  it('needs any voltage at all where the supply was not sampled', () => {
    const without = (leadAVoltageV: number) =>
      heldThrows(
        captureOf([
          hold(3, 2, {
            channels: { leadAVoltageV, leadBVoltageV: 0, motorCurrentA: (atS) => (atS < 2 ? 15 : 0) },
          }),
        ]),
      )[0]?.opensAfterS;
    expect(without(0.1)).toBeCloseTo(2, 9);
    expect(without(0)).toBeUndefined();
  });

  it('is read from the feed where the motor’s current was not sampled', () => {
    const feed = hold(3, 2, { channels: { ...LIVE, feedCurrentA: (atS) => (atS < 2 ? 15 : 0.4) } });
    expect(heldThrows(captureOf([feed]))[0]?.opensAfterS).toBeCloseTo(2, 9);
  });

  it('is not seen without any current', () => {
    expect(heldThrows(captureOf([hold(3, 2, { channels: LIVE })]))).toEqual([]);
  });

  it('that never draws more than 1 A is no hold', () => {
    const faint = hold(1, 2, { channels: { ...LIVE, motorCurrentA: 1 } });
    for (const behind of [[rest(0.1)], []])
      expect(heldThrows(captureOf([rest(0.1), faint, ...behind]))).toEqual([
        { position: 'forward', heldS: 0 },
      ]);
  });
});

describe('a brush that lifts', () => {
  const lifting = (goneS: number) =>
    heldThrows(
      captureOf([
        hold(3, 2, {
          channels: { ...LIVE, motorCurrentA: (atS) => (atS >= 1 && atS < 1 + goneS ? 0 : 15) },
        }),
      ]),
    )[0];
  it('for less than a tenth of a second is no protector, and the hold goes on', () => {
    expect(lifting(0.09)).not.toHaveProperty('opensAfterS');
    expect(lifting(0.09)?.heldS).toBeCloseTo(2.999, 9);
  });
  it('for longer is one', () => expect(lifting(0.11)?.opensAfterS).toBeCloseTo(1, 9));
  it('twice for a moment is none either', () => {
    const twice = hold(3, 2, {
      channels: { ...LIVE, motorCurrentA: (atS) => (atS >= 1 && atS < 1.2 && atS % 0.1 < 0.06 ? 0 : 15) },
    });
    expect(heldThrows(captureOf([twice]))[0]).not.toHaveProperty('opensAfterS');
  });
});

/** Ten samples a second: a tenth of a second is exactly one step. */
describe('at the tenth of a second that starts settle and brushes land in', () => {
  const coarse = (currents: readonly number[]) =>
    heldThrows({
      ...captureOf([{ position: 'forward', durationS: currents.length / 10 }], 10),
      channels: { motorCurrentA: Float64Array.from(currents) },
    })[0];
  it('a current counts as held', () => expect(coarse([15, 15, 0])?.heldS).toBe(0.1));
  it('the first current is that before it', () => expect(coarse([4, 20, 4, 4])?.heldS).toBeCloseTo(0.3, 9));
  it('a current that stays away has gone', () => expect(coarse([15, 0, 0])?.opensAfterS).toBe(0.1));
  it('a current of 1 A has not', () => expect(coarse([15, 1, 1, 1])).not.toHaveProperty('opensAfterS'));
  it('a current of half the first is not held any more', () => expect(coarse([15, 7.5, 7.5])?.heldS).toBe(0));
  it('a current that was gone from the start is found behind it', () => {
    expect(coarse([0, 0, 15, 15, 15])?.heldS).toBeCloseTo(0.2, 9);
  });
});

describe('the throws of a capture', () => {
  it('are those with the full feed, in order, parted where position or feed changes', () => {
    const limited = hold(0.5, 2, { feed: 'limited' });
    const back = hold(0.5, 2, { position: 'reverse' });
    const seen = heldThrows(captureOf([rest(0.2), limited, hold(0.4), back, rest(0.2), hold(0.3)]));
    expect(seen.map(({ position }) => position)).toEqual(['forward', 'reverse', 'forward']);
    expect(seen.map(({ heldS }) => Math.round(1000 * heldS))).toEqual([389, 489, 289]);
  });

  it('are all of them where the feed was not told', () => {
    const { feed: _, ...untold } = captureOf([
      rest(0.2),
      hold(0.4),
      rest(0.1),
      hold(0.3, 2, { position: 'reverse' }),
    ]);
    expect(heldThrows(untold).map(({ position }) => position)).toEqual(['forward', 'reverse']);
  });

  it('with the feed off are none', () => {
    expect(heldThrows(captureOf([hold(0.4, 2, { feed: 'off' })]))).toEqual([]);
  });
});

describe('a run cut back to its plan', () => {
  // One hold of 1 s each way, the second until its protector opens.
  const plan: Plan = shippedPlan('hold-the-rotor');
  const held = (pieces: readonly Piece[], under: Plan = plan): Capture =>
    withinPlan({ plan: under }, captureOf(pieces));
  const lengthS = ({ timeS }: Capture): number => timeS.length / 1000;

  it('stays as it is where it keeps to the plan', () => {
    const whole = captureOf([rest(0.3), hold(1.05), rest(0.3), hold(1), rest(0.3)]);
    expect(withinPlan({ plan }, whole)).toBe(whole);
  });

  it('stays as it is where the plan holds no rotor', () => {
    const whole = captureOf([rest(0.3), hold(9), rest(0.3)]);
    expect(withinPlan({ plan: shippedPlan('throw-both-ways') }, whole)).toBe(whole);
  });

  it('loses what goes on for the protector, and the time that it took', () => {
    const whole = captureOf([rest(0.3), hold(1), rest(0.3), hold(5, 4), rest(0.3)]);
    const cut = withinPlan({ plan }, whole);
    // 1 s of the plan and a tenth for the rig's relays.
    expect(lengthS(cut)).toBeCloseTo(0.3 + 1 + 0.3 + 1.1 + 0.3, 9);
    expect(cut.timeS.at(-1)).toBeCloseTo(6.899 - 3.9, 9);
    expect(cut.position).toHaveLength(cut.timeS.length);
    expect(cut.feed).toHaveLength(cut.timeS.length);
    expect(new Set(cut.feed)).toEqual(new Set(['full']));
    expect(cut.position.filter((word) => word === 'forward')).toHaveLength(2100);
    for (const values of Object.values(cut.channels)) expect(values).toHaveLength(cut.timeS.length);
    // The rest behind is the one that was behind the whole hold.
    expect(cut.channels.motorCurrentA?.at(-1)).toBe(0);
    expect(cut.channels.motorCurrentA?.[2699]).toBe(15);
    expect(cut.position.slice(2698, 2702)).toEqual(['forward', 'forward', 'rest', 'rest']);
  });

  it('closes its time over the gap by the step before it', () => {
    const whole = captureOf([hold(1), rest(0.3), hold(3), rest(0.3)]);
    const cut = withinPlan({ plan }, whole);
    const steps = [...cut.timeS].slice(1).map((timeS, i) => timeS - cut.timeS[i]!);
    for (const step of steps) expect(step).toBeCloseTo(0.001, 9);
    expect(cut.timeS[0]).toBe(0);
  });

  it('loses what a protector that opened early left of a hold', () => {
    // Opened 0.4 s after the contact: three quarters of the 0.399 s that it held.
    const cut = held([rest(0.3), hold(1, 0.41), rest(0.3)]);
    expect(cut.position.filter((word) => word === 'forward')).toHaveLength(300);
  });

  it('takes the shorter of plan and protector', () => {
    const cut = held([hold(3, 2), rest(0.3)]);
    // A hold that its protector ended within the plan's own time has no tenth more than that.
    expect(cut.position.filter((word) => word === 'forward')).toHaveLength(1100);
  });

  it('holds throws beyond the plan’s number to its last one', () => {
    const steps = plan.steps.map((step) =>
      step.position === 'forward' ? { ...step, durationS: 0.5 } : step,
    );
    const cut = held([hold(2), rest(0.3), hold(2), rest(0.3), hold(2), rest(0.3)], { ...plan, steps });
    const lengths = [600, 1100, 1100];
    expect(cut.position.filter((word) => word === 'forward')).toHaveLength(lengths.reduce((a, b) => a + b));
  });

  it('is cut without a current to tell protectors by', () => {
    const blind = { ...captureOf([hold(3), rest(0.2)]), channels: {} };
    expect(withinPlan({ plan }, blind).timeS).toHaveLength(1100 + 200);
  });

  it('has no feed where none was told', () => {
    const { feed: _, ...untold } = captureOf([hold(3), rest(0.2)]);
    expect('feed' in withinPlan({ plan }, untold)).toBe(false);
  });
});
