// A plan driven on the shipped firmware: whatever ends it, the outputs are off and the capture is kept.

import { describe, expect, it } from 'vitest';
import { type DriveResult, drivePlan } from '../../host/bench/index.js';
import { loadRig } from '../../host/profile/index.js';
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

/** Drives PLAN; `atStep` is called as each step starts. */
async function drive(
  atStep: (step: number, hands: { virtual: VirtualRig; abort: AbortController; world: PlainWorld }) => void,
): Promise<Drive> {
  const world = new PlainWorld();
  const virtual = openEmulatedRig({ world, paced: false });
  const rigProfile = loadRig('reference-rig');
  const rig = await connectRig({ port: virtual, clock: virtual.clock, rigProfile });
  const abort = new AbortController();
  const steps: string[] = [];
  try {
    const result = await drivePlan(rig, PLAN, {
      trip: rigProfile.trip,
      signal: abort.signal,
      onStep: (index, step) => {
        steps.push(step.position);
        atStep(index, { virtual, abort, world });
      },
      onSamples: () => {},
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
});
