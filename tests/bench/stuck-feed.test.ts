// A feed that is on although it is switched off: seen before anything is armed, and nothing is thrown. Virtual rig, one stuck
// part at a time.

import { describe, expect, it } from 'vitest';
import { drivePlan } from '../../host/bench/index.js';
import { loadCase, loadUnit, type VirtualCase } from '../../host/profile/index.js';
import { connectRig } from '../../host/rig/index.js';
import { openVirtualRig } from '../../host/virtual-rig/index.js';

const SEED = 41;

async function drive(unitId: string, more: Partial<VirtualCase>) {
  const unit = loadUnit(unitId);
  const virtualCase = { ...loadCase('entry-step-good'), ...more };
  const virtual = openVirtualRig({ unit, virtualCase, paced: false, seed: SEED });
  const thrown: string[] = [];
  const watch = virtual.board.onOutputWrite;
  virtual.board.onOutputWrite = (cycle, outputs) => {
    watch?.(cycle, outputs);
    for (const [pin, isOn] of Object.entries(outputs)) if (isOn) thrown.push(pin);
  };
  const rig = await connectRig({ port: virtual, clock: virtual.clock, rigProfile: unit.rig });
  try {
    const result = await drivePlan(rig, unit.plan.steps.slice(0, 4), {
      trip: unit.rig.trip,
      signal: new AbortController().signal,
      onStep: () => {},
      onSamples: () => {},
    });
    return { result, thrown, refusal: undefined };
  } catch (error) {
    return { result: undefined, thrown, refusal: (error as Error).message };
  } finally {
    await rig.close();
    virtual.close();
  }
}

describe(`a rig whose feed is stuck on (virtual bench, seed ${SEED})`, () => {
  it.each(['KL', 'Q1', 'KB', 'Q2'] as const)('is refused before anything is thrown: %s', async (part) => {
    const { thrown, refusal } = await drive('entry-step-relays', { stuckOn: [part] });
    expect(refusal).toContain('the feed is on although it is switched off');
    expect(refusal).toContain(part);
    expect(thrown).toEqual([]);
  });

  it('is not seen where nothing is stuck, nor where both leads rest on the feed', async () => {
    const { result, refusal } = await drive('entry-step-relays', {});
    expect(refusal).toBeUndefined();
    expect(result?.capture.feed).toContain('limited');
  });
});
