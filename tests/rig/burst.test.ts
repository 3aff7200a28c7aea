import { afterEach, describe, expect, it } from 'vitest';
import { DEFAULT_SCAN, packFrame, unpackSamples } from '../../firmware-protocol/index.js';
import { burstOf } from '../../host/rig/burst.js';
import { connectRig, type Rig } from '../../host/rig/index.js';
import { openEmulatedRig, type VirtualRig } from '../../host/virtual-rig/index.js';
import { PlainWorld } from './plain-world.js';
import { RIG } from './rig-profile.js';

let virtual: VirtualRig | undefined;
let rig: Rig | undefined;
afterEach(async () => {
  await rig?.close();
  virtual?.close();
});

async function connect(world: PlainWorld): Promise<Rig> {
  virtual = openEmulatedRig({ world, paced: false });
  rig = await connectRig({ port: virtual, clock: virtual.clock, rigProfile: RIG });
  await rig.arm();
  await rig.setFeed('full');
  await rig.clock.sleep(0.35);
  return rig;
}

describe('samples of a burst', () => {
  it('are unpacked as those of a frame are packed', () => {
    const counts = Uint16Array.from(DEFAULT_SCAN, (_, slot) => (slot * 373) % 1024);
    const line = packFrame({ number: 0, position: 'rest', feed: 'off', mode: 'idle', sinceSlot: 0, counts });
    expect([...unpackSamples(line.slice(6, -4))]).toEqual([...counts]);
  });

  it('stand at their times from the edge, two channels one conversion apart', () => {
    const done = { name: 'burst', samples: 6, edgeAt: 2, slotCycles: 320, stepSlots: 3 } as const;
    const request = {
      channels: ['motorCurrentA', 'leadAVoltageV'],
      edge: 'throw',
      beforeSamples: 2,
    } as const;
    const burst = burstOf(request, done, [512, 400, 512, 410, 640, 420], 16_000_000, RIG.scales);
    // 20 us a conversion, three of them from one sample of a channel to its next.
    expect([...burst.channels.motorCurrentA!.timeS].map((s) => Math.round(s * 1e6))).toEqual([-60, 0, 60]);
    expect([...burst.channels.leadAVoltageV!.timeS].map((s) => Math.round(s * 1e6))).toEqual([-40, 20, 80]);
    expect([...burst.channels.motorCurrentA!.value]).toEqual([0, 0, 10]);
    expect(Math.round(burst.sampleRateHz)).toBe(16667);
  });
});

describe('a burst on the shipped firmware', () => {
  it('shows the edge of a throw at 15 kHz or more, where it was', async () => {
    const world = new PlainWorld();
    const under = await connect(world);
    const { read } = await under.prepareBurst!({
      channels: ['motorCurrentA'],
      edge: 'throw',
      beforeSamples: 90,
    });
    await under.clock.sleep(0.02);
    await under.setPosition('forward', 1);
    const burst = await read(0.5);
    await under.allOff();
    expect(burst.sampleRateHz).toBeGreaterThan(15_000);
    const { timeS, value } = burst.channels.motorCurrentA!;
    expect(timeS.length).toBeGreaterThan(300);
    const stepS = 1 / burst.sampleRateHz;
    timeS.forEach((at, i) => {
      if (Math.abs(at) < 2 * stepS) return;
      expect(Math.abs(value[i]! - (at < 0 ? 0 : 5)), `at ${at}`).toBeLessThan(0.08);
    });
    expect(timeS.filter((at) => at < 0).length).toBeGreaterThan(80);
  });

  it('takes two channels in turn around a release', async () => {
    const under = await connect(new PlainWorld());
    await under.setPosition('reverse', 1);
    const request = {
      channels: ['leadBVoltageV', 'coilCurrentA'],
      edge: 'release',
      beforeSamples: 60,
    } as const;
    const { read } = await under.prepareBurst!(request);
    await under.clock.sleep(0.05);
    await under.setPosition('rest', 0);
    const burst = await read(0.5);
    for (const [channel, before] of [
      ['leadBVoltageV', 12],
      ['coilCurrentA', 0.16],
    ] as const) {
      const { timeS, value } = burst.channels[channel]!;
      expect(value[timeS.findIndex((at) => at > -0.0005)]!).toBeCloseTo(before, 1);
      expect(value.at(-1)!).toBeCloseTo(0, 1);
    }
  });

  it('says so when the edge does not come, and the rig works on', async () => {
    const under = await connect(new PlainWorld());
    const { read } = await under.prepareBurst!({
      channels: ['motorCurrentA'],
      edge: 'throw',
      beforeSamples: 0,
    });
    await expect(read(0.2)).rejects.toMatchObject({ code: 'reply-timeout' });
    const { read: again } = await under.prepareBurst!({
      channels: ['feedCurrentA'],
      edge: 'now',
      beforeSamples: 0,
    });
    expect((await again(0.2)).channels.feedCurrentA!.value[0]).toBeCloseTo(0, 1);
    await under.startStream();
    await under.stopStream();
  });

  it('refuses the same channel twice', async () => {
    const under = await connect(new PlainWorld());
    const request = { channels: ['motorCurrentA', 'motorCurrentA'], edge: 'now', beforeSamples: 0 } as const;
    await expect(under.prepareBurst!(request)).rejects.toThrow(/the motor current twice/);
  });
});
