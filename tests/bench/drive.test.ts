// A plan driven on the shipped firmware: whatever ends it, the outputs are off and the capture is kept.

import { describe, expect, it } from 'vitest';
import { type DriveOptions, type DriveResult, drivePlan, type PlannedStep } from '../../host/bench/index.js';
import { type LimitedReading, runStretch } from '../../host/measure/index.js';
import { LEAD_IN_S, loadRig } from '../../host/profile/index.js';
import { connectRig } from '../../host/rig/index.js';
import { openEmulatedRig, type VirtualRig } from '../../host/virtual-rig/index.js';
import { PlainWorld } from '../rig/plain-world.js';

const PLAN = [
  { position: 'rest', durationS: 0.1, feed: 'full' },
  { position: 'forward', durationS: 0.3, feed: 'full' },
  { position: 'rest', durationS: 0.4, feed: 'full' },
  { position: 'reverse', durationS: 0.3, feed: 'full' },
  { position: 'rest', durationS: 0.2, feed: 'full' },
] as const;
const FORWARD = 1;

interface Drive {
  result: DriveResult;
  world: PlainWorld;
  steps: string[];
}

/** Drives a plan; `atStep` is called as each step starts. */
async function drive(
  atStep: (step: number, hands: { virtual: VirtualRig; abort: AbortController; world: PlainWorld }) => void,
  options: Partial<DriveOptions> = {},
  plan: readonly PlannedStep[] = PLAN,
): Promise<Drive> {
  const world = new PlainWorld();
  const virtual = openEmulatedRig({ world, paced: false });
  const rigProfile = loadRig('reference-rig');
  const rig = await connectRig({ port: virtual, clock: virtual.clock, rigProfile });
  const abort = new AbortController();
  const steps: string[] = [];
  try {
    const result = await drivePlan(rig, plan, {
      trip: rigProfile.trip,
      signal: abort.signal,
      onStep: (index, step) => {
        steps.push(step.position);
        atStep(index, { virtual, abort, world });
      },
      onSamples: () => {},
      ...options,
    });
    return { result, world, steps };
  } finally {
    await rig.close();
    virtual.close();
  }
}

describe('a driven plan', () => {
  it('runs to its end, throws both ways in order and ends with outputs off', async () => {
    const { result, world, steps } = await drive(() => {});
    expect(result.halt).toBeUndefined();
    expect(steps).toEqual(['rest', 'forward', 'rest', 'reverse', 'rest']);
    expect(world.isOff).toBe(true);
    const order = result.capture.position.filter((name, i, all) => name !== all[i - 1]);
    expect(order).toEqual(['rest', 'forward', 'rest', 'reverse', 'rest']);
    // The model's runs have the feed come on at the same time; the board takes some milliseconds to arm.
    const { feed, timeS } = result.capture;
    const feedOnS = timeS[feed!.findIndex((word) => word !== 'off')]!;
    expect(Math.abs(feedOnS - LEAD_IN_S)).toBeLessThan(0.03);
    const { motorCurrentA } = result.capture.channels;
    expect(Math.max(...motorCurrentA!)).toBeCloseTo(5, 0);
    expect(Math.min(...motorCurrentA!)).toBeCloseTo(-5, 0);
    expect(result.capture.gaps).toEqual([]);
  });

  it('puts outputs off when the operator stops in mid-throw, and starts no further step', async () => {
    const { result, world, steps } = await drive((step, { abort }) => {
      if (step === FORWARD) abort.abort();
    });
    expect(result.halt?.reason).toBe('host-request');
    expect(steps).toEqual(['rest', 'forward']);
    expect(world.isOff).toBe(true);
    expect(result.capture.timeS.length).toBeGreaterThan(1000);
  });

  it('energises nothing when it was stopped before it began', async () => {
    const world = new PlainWorld();
    const virtual = openEmulatedRig({ world, paced: false });
    const rigProfile = loadRig('reference-rig');
    const rig = await connectRig({ port: virtual, clock: virtual.clock, rigProfile });
    const signal = AbortSignal.abort();
    const result = await drivePlan(rig, PLAN, { trip: rigProfile.trip, signal, onStep() {}, onSamples() {} });
    await rig.close();
    virtual.close();
    expect(result.halt?.reason).toBe('host-request');
    expect(world.changes.filter(({ outputs }) => Object.values(outputs).some(Boolean))).toEqual([]);
  });

  it('ends at an over-current trip with the samples up to it', async () => {
    const { result, world, steps } = await drive((step, hands) => {
      if (step === FORWARD) hands.world.motorCurrentA = 35;
    });
    expect(result.halt?.reason).toBe('over-current');
    expect(steps).toEqual(['rest', 'forward']);
    expect(world.isOff).toBe(true);
    expect(Math.max(...result.capture.channels.motorCurrentA!)).toBeGreaterThan(30);
  });

  it('ends when the stop loop opens', async () => {
    const { result, world } = await drive((step, { virtual }) => {
      if (step === FORWARD) virtual.board.setStopLoop(false);
    });
    expect(result.halt?.reason).toBe('stop-input');
    expect(world.isOff).toBe(true);
  });

  it('leaves out what follows on a question that nobody can be asked', async () => {
    const [first, ...rest] = PLAN;
    const asked = [first, { ...PLAN[FORWARD], ask: 'turn-it' }, ...rest];
    const { result, world, steps } = await drive(() => {}, {}, asked);
    expect(steps).toEqual(['rest']);
    expect(world.isOff).toBe(true);
    expect(result.halt).toBeUndefined();
    expect(result.leftOut).toMatch(/Nobody could be asked/);
    expect(result.capture.notes).toContain(result.leftOut);
  });

  it('asks with outputs off, and leaves the time of the wait out of the capture', async () => {
    const [first, ...rest] = PLAN;
    const asked = [first, ...rest.map((step, i) => (i === 0 ? { ...step, ask: 'turn-it' } : step))];
    let bench: { virtual: VirtualRig; world: PlainWorld } | undefined;
    const wasOff: (boolean | undefined)[] = [];
    const { result, steps } = await drive(
      (_, hands) => {
        bench = hands;
      },
      {
        ask: async () => {
          wasOff.push(bench?.world.isOff);
          await bench?.virtual.clock.sleep(3);
          return true;
        },
      },
      asked,
    );
    expect(wasOff).toEqual([true]);
    expect(steps).toEqual(['rest', 'forward', 'rest', 'reverse', 'rest']);
    expect(result.capture.notes).toEqual(['3 s in which a person was waited for were left out.']);
    expect(result.capture.gaps).toEqual([]);
    // Lead-in, the steps and the tails around them, without the three seconds.
    expect(result.capture.timeS.at(-1)).toBeLessThan(1.8);
  });

  it('asks once for each kind of step whether it may follow, and ends where it may not', async () => {
    const kinds: string[] = [];
    const { result, world, steps } = await drive(() => {}, {
      mayNotFollow: ({ position, feed }) => {
        kinds.push(`${position} ${feed}`);
        return position === 'reverse' ? 'Not that way.' : undefined;
      },
    });
    expect(kinds).toEqual(['rest full', 'forward full', 'reverse full']);
    expect(steps).toEqual(['rest', 'forward', 'rest']);
    expect(result.leftOut).toBe('Not that way.');
    expect(world.isOff).toBe(true);
  });

  it('ends a step early when it is over', async () => {
    const { result } = await drive(() => {}, { isOver: ({ position }) => position === 'forward' });
    const thrownS = result.capture.position.filter((position) => position === 'forward').length / 5000;
    // One look every 50 ms, and the samples on their way.
    expect(thrownS).toBeGreaterThan(0.03);
    expect(thrownS).toBeLessThan(0.15);
  });

  it('makes every limited step and no full one once the limited feed has found a short', async () => {
    const limited = PLAN.map((step) => ({ ...step, feed: 'limited' as const }));
    const of = runStretch('limited', 'forward');
    const reading: LimitedReading = {
      ...{ of, isRead: true, isShort: true, leastOhm: 1, leftOhm: undefined, feedCurrentA: undefined },
    };
    let looks = 0;
    const { result, world, steps } = await drive(
      () => {},
      {
        findShort: (soFar) => {
          looks += 1;
          expect(soFar.feed).toContain('limited');
          return reading;
        },
      },
      [...limited, ...PLAN, ...limited, ...PLAN],
    );
    expect(looks).toBe(2);
    expect(steps).toHaveLength(2 * limited.length);
    expect(world.changes.some(({ outputs }) => outputs.feedFull)).toBe(false);
    expect(result.short?.reading).toBe(reading);
    expect(result.halt).toBeUndefined();
  });

  it('keeps the full feed off when the limited one could not be read, and says so', async () => {
    const limited = PLAN.map((step) => ({ ...step, feed: 'limited' as const }));
    const { result, world, steps } = await drive(() => {}, { findUnread: () => 'Not read.' }, [
      ...limited,
      ...PLAN,
    ]);
    expect(steps).toHaveLength(limited.length);
    expect(world.changes.some(({ outputs }) => outputs.feedFull)).toBe(false);
    expect(result.leftOut).toBe('Not read.');
    expect(result.capture.notes).toContain('Not read.');
  });

  it('puts everything off within a poll, and ends, when what rests goes on being driven', async () => {
    let atStep = 0;
    const { result, world, steps } = await drive(
      (step) => {
        atStep = step;
      },
      { isFedOn: () => (atStep === 2 ? 'Lead A goes on being fed.' : undefined) },
    );
    expect(steps).toEqual(['rest', 'forward', 'rest']);
    expect(world.isOff).toBe(true);
    expect(result.fed).toMatchObject({ reason: 'fed-at-rest', sentence: 'Lead A goes on being fed.' });
    // The step of 0.4 s was cut at its first look.
    expect(result.capture.timeS.at(-1)).toBeLessThan(LEAD_IN_S + 0.1 + 0.3 + 0.2);
  });

  it('puts outputs off before it passes on what the rig refuses', async () => {
    const trip = { motorCurrentA: 500, feedCurrentA: 20, samples: 3 };
    await expect(drive(() => {}, { trip })).rejects.toThrow(/trip limit of the motor current is 500/);
  });
});
