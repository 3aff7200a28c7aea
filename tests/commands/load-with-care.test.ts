// A known load that is a short, on the emulated firmware: found through the limited feed at an ampere, the full feed and the
// coils' straight feed never on. What the limiters let through: RIG.md, 5.7 (12 V / 12 Ohm) and 5.13 (13 V / 39 Ohm).

import { describe, expect, it } from 'vitest';
import { switchOnWithCare, whyNotStraight } from '../../host/commands/load-with-care.js';
import { steadyLoad } from '../../host/commands/steady-load.js';
import { takeReading } from '../../host/commands/take-reading.js';
import { loadCase, loadUnit } from '../../host/profile/index.js';
import { connectRig, type Rig } from '../../host/rig/index.js';
import { openVirtualRig } from '../../host/virtual-rig/index.js';
import { spoilt, standsAt } from '../bench/spoilt-rig.js';

const SEED = 61;

interface Bench {
  rig: Rig;
  /** Outputs that were on at any time. */
  energised: Set<string>;
  /** Highest feed current that any sample showed, A. */
  highestA(): number;
}

async function onBench<T>(unitId: string, faults: string[], work: (bench: Bench) => Promise<T>): Promise<T> {
  const unit = loadUnit(unitId);
  const virtualCase = { ...loadCase('entry-step-good'), faults };
  const virtual = openVirtualRig({ unit, virtualCase, paced: false, seed: SEED });
  const energised = new Set<string>();
  const watch = virtual.board.onOutputWrite;
  virtual.board.onOutputWrite = (cycle, outputs) => {
    watch?.(cycle, outputs);
    for (const [pin, isOn] of Object.entries(outputs)) if (isOn) energised.add(pin);
  };
  const rig = await connectRig({ port: virtual, clock: virtual.clock, rigProfile: unit.rig });
  let highestA = 0;
  rig.onEvent((event) => {
    if (event.kind !== 'samples') return;
    for (const valueA of event.block.channels.feedCurrentA ?? []) if (valueA > highestA) highestA = valueA;
  });
  try {
    return await work({ rig, energised, highestA: () => highestA });
  } finally {
    await rig.close();
    virtual.close();
  }
}

const { rig: rigProfile } = loadUnit('entry-step-relays');
const MOTOR = { channel: 'motorCurrentA', position: 'forward' } as const;

describe(`a load that is a short (virtual bench, seed ${SEED})`, () => {
  it('is refused by the plain call, the full feed never on', async () => {
    await onBench('entry-step-relays', ['lead-a-shorted-to-ground'], async ({ rig, energised, highestA }) => {
      const asked = { ...MOTOR, point: 'load', seconds: 0.3, trip: rigProfile.trip } as const;
      await expect(takeReading(rig, asked, rigProfile)).rejects.toThrow(
        /^a short at the load: 1\.\d+ A flows through the limited feed.*the full feed was never applied/,
      );
      expect(energised).toContain('feedLimited');
      expect(energised).not.toContain('feedFull');
      expect(energised).not.toContain('coilFull');
      // 13 V / 12 Ohm and the channel's noise; the trip stands at 30 A.
      expect(highestA()).toBeLessThan(1.6);
    });
  });

  it('is told in the talk as refused, outputs off, and not as a stop', async () => {
    await onBench('entry-step-relays', ['lead-a-shorted-to-ground'], async ({ rig, energised }) => {
      const read = await steadyLoad(
        rig,
        { ...MOTOR, rigProfile },
        { onSteady: () => {}, pressed: () => undefined },
      );
      expect(read).toMatchObject({
        kind: 'refused',
        sentence: expect.stringContaining('a short at the load'),
      });
      expect(energised).not.toContain('feedFull');
    });
  });

  it.each([
    ['the diode of a coil the wrong way round', 'k1-diode-reversed'],
    ['30 and 86 exchanged', 'k1-30-86-exchanged'],
  ])('of the coil feed is found behind the coils’ limiter: %s', async (_, fault) => {
    const unit = fault.includes('diode') ? 'seat-slide-relays' : 'entry-step-relays';
    await onBench(unit, [fault], async ({ rig, energised }) => {
      const asked = { ...MOTOR, point: 'load', seconds: 0.3, trip: rigProfile.trip } as const;
      await expect(takeReading(rig, asked, rigProfile)).rejects.toThrow(/the coil feed is shorted: \d+ mA/);
      expect(energised).not.toContain('feedFull');
      expect(energised).not.toContain('coilFull');
    });
  });
});

describe(`a rig that misreads (virtual bench, seed ${SEED})`, () => {
  // An input broken off would make a zero of -40 A, by which every later reading were corrected.
  it.each(['zero', 'load'] as const)('is refused, nothing energised and nothing read: %s', async (point) => {
    await onBench('entry-step-relays', [], async ({ rig, energised }) => {
      const asked = { channel: 'motorCurrentA', position: point === 'zero' ? 'rest' : 'forward' } as const;
      const how = { ...asked, point, seconds: 0.3, trip: rigProfile.trip };
      const reading = takeReading(spoilt(rig, standsAt('motorCurrentA', -40)), how, rigProfile);
      await expect(reading).rejects.toThrow(/^The rig misreads the motor current/);
      expect([...energised]).toEqual([]);
    });
  });
});

describe(`a load as it should be (virtual bench, seed ${SEED})`, () => {
  it('is on with the full feed and the coils fed straight', async () => {
    await onBench('relay-pair-harness-load', [], async ({ rig, energised, highestA }) => {
      await rig.setTrip(rigProfile.trip);
      await rig.startStream();
      expect(await switchOnWithCare(rig, { ...MOTOR, holdS: 1, rigProfile })).toBe('on');
      await rig.clock.sleep(0.3);
      // 2 Ohm of profiles/loads/dummy-2-ohm.yaml and the wires at 13 V.
      expect(highestA()).toBeGreaterThan(5);
      expect([...energised]).toEqual(expect.arrayContaining(['feedLimited', 'coilFull', 'feedFull']));
    });
  });

  it('is not switched on further once somebody says no', async () => {
    await onBench('relay-pair-harness-load', [], async ({ rig, energised }) => {
      await rig.setTrip(rigProfile.trip);
      await rig.startStream();
      let asked = 0;
      const on = await switchOnWithCare(rig, { ...MOTOR, holdS: 1, rigProfile }, () => ++asked < 3);
      expect(on).toBe('over');
      expect(energised).not.toContain('feedFull');
    });
  });
});

describe('whether the straight feeds may follow', () => {
  // Worked by hand: through 12 Ohm at 12.6 V a load of R takes 12.6 / (12 + R) A, and its lead stands at R times that.
  it.each([
    ['a dead short', 1.05, 0, true],
    ['0.1 Ohm', 12.6 / 12.1, 0.1, true],
    ['1.2 Ohm, its lead not clipped', 12.6 / 13.2, 0, false],
    ['1.2 Ohm, a feed channel 0.09 A off', 12.6 / 13.2 + 0.09, 1.15, false],
    ['4.7 Ohm', 12.6 / 16.7, 3.5, false],
    ['nothing', 0.02, 0.12, false],
  ])('%s', (_, feedCurrentA, leadAVoltageV, isRefused) => {
    const said = whyNotStraight({ supplyVoltageV: 12.6, feedCurrentA, leadAVoltageV }, rigProfile);
    expect(said !== undefined).toBe(isRefused);
  });
});
