// The rig's own parts, one stuck at a time on the virtual bench: each is seen before the unit meets the full feed, and named by
// its mark. Marks and what each part does: RIG.md and its sheets.

import { describe, expect, it } from 'vitest';
import { coilOptions, feedSeen } from '../../host/bench/find-short.js';
import { drivePlan } from '../../host/bench/index.js';
import { loadCase, loadUnit, type VirtualCase } from '../../host/profile/index.js';
import { connectRig } from '../../host/rig/index.js';
import { openVirtualRig } from '../../host/virtual-rig/index.js';

const SEED = 41;

async function drive(unitId: string, more: Partial<VirtualCase>) {
  const unit = loadUnit(unitId);
  const virtualCase = { ...loadCase('entry-step-good'), ...more };
  const virtual = openVirtualRig({ unit, virtualCase, paced: false, seed: SEED });
  const thrown = new Set<string>();
  const watch = virtual.board.onOutputWrite;
  virtual.board.onOutputWrite = (cycle, outputs) => {
    watch?.(cycle, outputs);
    for (const [pin, isOn] of Object.entries(outputs)) if (isOn) thrown.add(pin);
  };
  const rig = await connectRig({ port: virtual, clock: virtual.clock, rigProfile: unit.rig });
  try {
    // Up to the first rest with the full feed.
    const upToFull = unit.plan.steps.findIndex(({ feed }) => feed === 'full') + 1;
    const result = await drivePlan(rig, unit.plan.steps.slice(0, upToFull), {
      trip: unit.rig.trip,
      signal: new AbortController().signal,
      onStep: () => {},
      onSamples: () => {},
      ...coilOptions(unit),
      feedSeen: (soFar) => feedSeen(unit, soFar),
    });
    return { result, thrown: [...thrown], refusal: undefined };
  } catch (error) {
    return { result: undefined, thrown: [...thrown], refusal: error as Error & { parts?: string[] } };
  } finally {
    await rig.close();
    virtual.close();
  }
}

describe(`a rig with a part stuck on (virtual bench, seed ${SEED})`, () => {
  it.each(['KL', 'Q1', 'KB', 'Q2', 'Q4'] as const)(
    'is refused before anything is thrown: %s',
    async (part) => {
      const { thrown, refusal } = await drive('entry-step-relays', { stuckOn: [part] });
      expect(refusal?.message).toContain('The feed is on although it is switched off');
      expect(refusal?.message).toContain(part);
      expect(thrown).toEqual([]);
    },
  );

  it('has its coil limiter bridged: told before the full feed', async () => {
    const { thrown, refusal } = await drive('entry-step-relays', { stuckOn: ['Q5'] });
    expect(refusal?.parts).toEqual(['Q5']);
    expect(refusal?.message).toContain('limiter in the rig is bridged: Q5 is shorted');
    expect(thrown).not.toContain('feedFull');
  });
});

describe(`a rig with a part that does nothing (virtual bench, seed ${SEED})`, () => {
  it.each([
    ['KL', 'KL does not close, or its driver Q1 is open', ['KL', 'Q1', 'F4']],
    ['Q4', 'sense of the feed, Q4, says dead', ['Q4']],
    ['Q5', 'Q5 or its driver Q6 does not switch on', ['Q5', 'Q6']],
  ] as const)('is refused before the full feed: %s', async (part, sentence, parts) => {
    const { thrown, refusal } = await drive('entry-step-relays', { stuckOff: [part] });
    expect(refusal?.message).toContain(sentence);
    expect(refusal?.parts).toEqual(parts);
    expect(thrown).not.toContain('feedFull');
  });

  it('is refused before the first full throw: KB', async () => {
    const { refusal } = await drive('entry-step-relays', { stuckOff: ['KB'] });
    expect(refusal?.parts).toEqual(['KB', 'Q2']);
  });
});

describe(`a rig with a blown fuse (virtual bench, seed ${SEED})`, () => {
  it.each([
    ['F1', 'No supply reaches the rig: its main fuse F1 has blown'],
    ['F2', 'The stop loop is open although the rig has its supply'],
    ['F4', "F4, the fuse of the unit's feed, has blown"],
  ] as const)('is refused, the fuse named: %s', async (fuse, sentence) => {
    const { thrown, refusal } = await drive('entry-step-relays', { blownFuses: [fuse] });
    expect(refusal?.message).toContain(sentence);
    expect(refusal?.parts).toContain(fuse);
    expect(thrown).not.toContain('feedFull');
  });
});

describe('a rig as it should be', () => {
  it('is let through to the full feed', async () => {
    const { result, refusal, thrown } = await drive('entry-step-relays', {});
    expect(refusal).toBeUndefined();
    expect(result?.capture.feed).toContain('limited');
    expect(thrown).toContain('feedFull');
    expect(thrown).toContain('coilFull');
  });
});
