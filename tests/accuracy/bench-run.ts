// One random unit through the rig: the firmware image on the emulated board, driven as `run` drives it.

import { findFed, findShort } from '../../host/bench/find-short.js';
import { HeldRotorWatch } from '../../host/bench/held-rotor-watch.js';
import { drivePlan } from '../../host/bench/index.js';
import type { Capture } from '../../host/capture/index.js';
import { feedPathOf, type LimitedReading, limitedShort, measure } from '../../host/measure/index.js';
import type { ResolvedUnit } from '../../host/profile/index.js';
import { connectRig } from '../../host/rig/index.js';
import { openVirtualRig } from '../../host/virtual-rig/index.js';
import type { RandomUnit } from './random-unit.js';

/** What the bench asks before the full feed, for a unit of this profile: whether it is kept off. */
export const keepsFeedOff =
  (unit: ResolvedUnit) =>
  (soFar: Capture): boolean =>
    findShort(unit, soFar) !== undefined || findFed(unit, soFar) !== undefined;

/** The first of the two questions. */
export const shortFinder =
  (unit: ResolvedUnit) =>
  (soFar: Capture): LimitedReading | undefined =>
    limitedShort(
      measure(soFar, { rig: unit.rig, nominalVoltageV: unit.motor.nominalVoltageV, ripple: false }),
      feedPathOf(unit),
    );

export async function runOnBench({ unit, virtualCase, seed }: RandomUnit): Promise<{
  capture: Capture;
  stop: string | undefined;
}> {
  const virtual = openVirtualRig({ unit, virtualCase, paced: false, seed });
  const rig = await connectRig({ port: virtual, clock: virtual.clock, rigProfile: unit.rig });
  const held = new HeldRotorWatch(unit);
  try {
    const { capture, halt } = await drivePlan(rig, unit.plan.steps, {
      trip: unit.rig.trip,
      signal: new AbortController().signal,
      findShort: shortFinder(unit),
      findFed: (soFar) => findFed(unit, soFar),
      isOver: () => held.isOver,
      onStep: (_, step) => held.start(step),
      onSamples: (block) => held.add(block),
    });
    return { capture, stop: halt?.reason };
  } finally {
    await rig.close();
    virtual.close();
  }
}
