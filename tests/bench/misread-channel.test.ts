// A rig whose inputs are broken off, shorted, or exchanged: told as the rig's, before anything is energised, and never as a fault
// of the unit. What each channel reads at rest: RIG.md, section 8, step 5. What a fault of the unit can do stays the unit's.

import { describe, expect, it } from 'vitest';
import { coilOptions, findMisreadCurrent, isCoilUnread } from '../../host/bench/find-short.js';
import { drivePlan } from '../../host/bench/index.js';
import { impossibleWhileOff, misreadOf } from '../../host/bench/off-readings.js';
import type { Capture } from '../../host/capture/index.js';
import { faultsOfUnit, nominalInput, simulatePlan } from '../../host/circuit/index.js';
import { atCoilStage, LEAD_IN_S, loadCase, loadUnit, type ResolvedUnit } from '../../host/profile/index.js';
import { connectRig } from '../../host/rig/index.js';
import { openVirtualRig } from '../../host/virtual-rig/index.js';
import { type Spoil, spoilt, standsAt } from './spoilt-rig.js';

const SEED = 53;
const RATE_HZ = 5000;

async function drive(spoil: Spoil) {
  const unit = loadUnit('entry-step-relays');
  const virtual = openVirtualRig({
    unit,
    virtualCase: loadCase('entry-step-good'),
    paced: false,
    seed: SEED,
  });
  const energised = new Set<string>();
  const watch = virtual.board.onOutputWrite;
  virtual.board.onOutputWrite = (cycle, outputs) => {
    watch?.(cycle, outputs);
    for (const [pin, isOn] of Object.entries(outputs)) if (isOn) energised.add(pin);
  };
  const rig = spoilt(await connectRig({ port: virtual, clock: virtual.clock, rigProfile: unit.rig }), spoil);
  const upToFull = unit.plan.steps.findIndex(({ feed }) => feed === 'full') + 1;
  try {
    await drivePlan(rig, unit.plan.steps.slice(0, upToFull), {
      ...coilOptions(unit),
      trip: unit.rig.trip,
      signal: new AbortController().signal,
      onStep: () => {},
      onSamples: () => {},
      findMisread: misreadOf(unit, rig),
      isCoilUnread: (soFar) => isCoilUnread(unit, soFar),
      findMisreadCurrent: (soFar) => findMisreadCurrent(unit, soFar),
    });
    return { energised: [...energised], refusal: undefined };
  } catch (error) {
    return { energised: [...energised], refusal: error as Error & { code?: string; parts?: string[] } };
  } finally {
    await rig.close();
    virtual.close();
  }
}

/** The count of one under the scale of the other (RIG.md, section 5.1). */
const leadAndSupplyExchanged: Spoil = ({ leadAVoltageV, supplyVoltageV, ...others }) => ({
  ...others,
  leadAVoltageV: (supplyVoltageV ?? new Float64Array()).map((volts) => -10 + 1.5 * volts),
  supplyVoltageV: (leadAVoltageV ?? new Float64Array()).map((volts) => (volts + 10) / 1.5),
});

/** By another scale: what it should read by a factor, and beside. */
const reads =
  (channel: 'motorCurrentA' | 'feedCurrentA' | 'supplyVoltageV', factor: number, beside = 0): Spoil =>
  (channels) => ({ ...channels, [channel]: channels[channel]?.map((value) => factor * value + beside) });

describe(`a rig that misreads a channel (virtual bench, seed ${SEED})`, () => {
  it.each([
    ['the motor current at its lower end', standsAt('motorCurrentA', -40), 'U1'],
    ['the feed current at its lower end', standsAt('feedCurrentA', -8), 'U2'],
    ['the feed current in mid scale', standsAt('feedCurrentA', 32), 'U2'],
    ['lead A at its lower end', standsAt('leadAVoltageV', -10), 'U4'],
    ['lead B at its upper end', standsAt('leadBVoltageV', 19.97), 'U4'],
    ['the coil current at its upper end', standsAt('coilCurrentA', 0.999), 'U3'],
    ['no supply', standsAt('supplyVoltageV', 0), 'U4'],
    ['the supply at its upper end', standsAt('supplyVoltageV', 19.98), 'U4'],
    ['lead A and the supply exchanged', leadAndSupplyExchanged, 'U4'],
    ['the zero of the motor current', reads('motorCurrentA', 1, 0.5), 'U1'],
    ['the zero of the feed current', reads('feedCurrentA', 1, -0.5), 'U2'],
  ] as const)('is refused before anything is energised: %s', async (_, spoil, part) => {
    const { refusal, energised } = await drive(spoil);
    expect(refusal?.code).toBe('rig-fault');
    expect(refusal?.parts).toContain(part);
    expect(energised).toEqual([]);
  });

  it('sees relays close and no coil current: refused before the full feed', async () => {
    const { refusal, energised } = await drive(standsAt('coilCurrentA', 0));
    expect(refusal?.message).toContain('The relays close, yet the rig sees no coil current');
    expect(energised).toContain('feedLimited');
    expect(energised).not.toContain('feedFull');
  });

  it.each([
    ['the motor current backwards', reads('motorCurrentA', -1), 'RS2'],
    ['the feed current backwards', reads('feedCurrentA', -1), 'RS1'],
    ['twice the feed current', reads('feedCurrentA', 2), 'U2'],
    ['half the supply', reads('supplyVoltageV', 0.55), 'U4'],
  ] as const)('is refused before the full feed: %s', async (_, spoil, part) => {
    const { refusal, energised } = await drive(spoil);
    expect(refusal?.code).toBe('rig-fault');
    expect(refusal?.parts).toContain(part);
    expect(energised).toContain('feedLimited');
    expect(energised).not.toContain('feedFull');
  });

  it('is let through where it reads right', async () => {
    expect((await drive((channels) => channels)).refusal).toBeUndefined();
  });
});

describe.each(['entry-step-relays', 'roof-vent-switch', 'window-lift-alone'])(
  'no fault of %s is taken for the rig’s',
  (id) => {
    it('with every output off, or while relays close', () => {
      const unit = loadUnit(id);
      const upToFull = unit.plan.steps.findIndex(({ feed }) => feed === 'full');
      const steps = unit.plan.steps.slice(0, upToFull);
      const faults = faultsOfUnit(unit).filter(({ owner }) => owner !== 'rig');
      expect(faults.length).toBeGreaterThan(10);
      const taken = faults.flatMap((fault) => {
        const seen = (as: ResolvedUnit): Capture =>
          simulatePlan({ ...nominalInput(as), faults: [fault] }, { steps }, { sampleRateHz: RATE_HZ });
        const isMisread = (capture: Capture, hasCoilLimiter: boolean): boolean =>
          impossibleWhileOff(leadInOf(capture), { rig: unit.rig, hasCoilLimiter, needsSupply: true }) !==
          undefined;
        // Coils stand behind their limiter while everything is off; an older rig has none.
        const straight = seen(unit);
        const isTaken =
          isMisread(seen(atCoilStage(unit)), true) ||
          isMisread(straight, false) ||
          isCoilUnread(unit, straight) ||
          findMisreadCurrent(unit, straight) !== undefined;
        return isTaken ? [fault.id] : [];
      });
      expect(taken).toEqual([]);
    });
  },
);

/** What was sampled before the feed came on. */
function leadInOf(capture: Capture): Capture {
  const count = Math.floor(LEAD_IN_S * RATE_HZ) - 1;
  const channels = Object.fromEntries(
    Object.entries(capture.channels).map(([name, values]) => [name, values.subarray(0, count)]),
  );
  return { ...capture, channels };
}
