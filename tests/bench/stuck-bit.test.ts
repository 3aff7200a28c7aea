// A board whose converter has a bit that never changes: told as the rig's, and nothing held against a unit. The frames are changed
// as PROTOCOL.md describes them. What a unit draws, faulty or not, shows no such bit: its readings run through every count
// between two levels.

import { describe, expect, it } from 'vitest';
import { coilOptions } from '../../host/bench/find-short.js';
import { drivePlan } from '../../host/bench/index.js';
import { misreadOf } from '../../host/bench/off-readings.js';
import { letterOf, RIG_CHANNELS } from '../../host/capture/index.js';
import { faultsOfUnit, nominalInput, simulatePlan } from '../../host/circuit/index.js';
import { loadCase, loadUnit } from '../../host/profile/index.js';
import { connectRig } from '../../host/rig/index.js';
import { CountWatch } from '../../host/rig/stuck-bits.js';
import { openVirtualRig } from '../../host/virtual-rig/index.js';
import { dice } from '../rig/hostile-binding.js';
import { bitStuck, MisreadBinding, type Misreading } from '../rig/misread-binding.js';

const SEED = 53;

async function refusalOf(misread: Misreading) {
  const unit = loadUnit('entry-step-relays');
  const virtual = openVirtualRig({
    unit,
    virtualCase: loadCase('entry-step-good'),
    paced: false,
    seed: SEED,
  });
  const rig = await connectRig({
    port: { path: virtual.path, binding: new MisreadBinding(virtual.binding, misread) },
    clock: virtual.clock,
    rigProfile: unit.rig,
  });
  try {
    await drivePlan(rig, unit.plan.steps, {
      ...coilOptions(unit),
      trip: unit.rig.trip,
      signal: new AbortController().signal,
      onStep: () => {},
      onSamples: () => {},
      findMisread: misreadOf(unit, rig),
    });
    return undefined;
  } catch (error) {
    return error as Error & { code?: string; parts?: string[] };
  } finally {
    await rig.close();
    virtual.close();
  }
}

describe(`a converter with a stuck bit (virtual bench, seed ${SEED})`, () => {
  it('is none where every bit changes', async () => {
    expect(await refusalOf((_, count) => count)).toBeUndefined();
  });

  it.each([
    ['F', 0, true, 'the feed current'],
    ['F', 2, true, 'the feed current'],
    ['F', 4, false, 'the feed current'],
    ['F', 5, true, 'the feed current'],
    ['F', 6, true, 'the feed current'],
    ['M', 1, false, 'the motor current'],
    ['C', 2, false, 'the coil current'],
    ['A', 3, true, 'lead A'],
    ['B', 4, false, 'lead B'],
  ] as const)('is told of %s, bit %i, set %s', async (letter, bit, isSet, words) => {
    const refusal = await refusalOf(bitStuck(letter, bit, isSet));
    expect(refusal?.code).toBe('rig-fault');
    expect(refusal?.message).toContain(
      `misreads ${words}: of its counts bit ${bit} is always ${isSet ? 'set' : 'clear'}`,
    );
    expect(refusal?.parts).toEqual(['U6']);
  });

  it.each([
    ['A', 6],
    ['B', 8],
  ] as const)('puts %s below ground with all outputs off, bit %i', async (letter, bit) => {
    const refusal = await refusalOf(bitStuck(letter, bit, false));
    expect(refusal?.message).toMatch(/misreads.*with all outputs off/);
  });
});

describe.each(['entry-step-relays', 'roof-vent-switch', 'window-lift-alone'])(
  'no fault of %s shows a stuck bit',
  (id) => {
    // 0.6 counts of noise, as of a converter beside power leads (common practice, no source).
    it(`in counts with their noise (seed ${SEED})`, () => {
      const unit = loadUnit(id);
      const random = dice(SEED);
      const noise = (): number => 0.6 * (random() + random() + random() - 1.5) * 2;
      const taken = [undefined, ...faultsOfUnit(unit)].flatMap((fault) => {
        const { channels } = simulatePlan(
          { ...nominalInput(unit), ...(fault ? { faults: [fault] } : {}) },
          unit.plan,
          { sampleRateHz: 1000 },
        );
        const watch = new CountWatch();
        for (const channel of RIG_CHANNELS) {
          const { atZeroCount, perCount } = unit.rig.scales[channel];
          for (const value of channels[channel] ?? [])
            watch.add(letterOf(channel), [
              Math.max(0, Math.min(1023, Math.round((value - atZeroCount) / perCount + noise()))),
            ]);
        }
        return watch.stuck().map((stuck) => `${fault?.id}: ${JSON.stringify(stuck)}`);
      });
      expect(taken).toEqual([]);
    });
  },
);
