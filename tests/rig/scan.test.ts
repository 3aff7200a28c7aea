// Scan lists chosen by the host, on the shipped firmware: every channel keeps its own value at the rate that was asked for.

import { afterEach, describe, expect, it } from 'vitest';
import { type Channel, RIG_CHANNELS } from '../../host/capture/index.js';
import { connectRig, MOTOR_SCAN, RELAY_SCAN, type Rig, type RigEvent } from '../../host/rig/index.js';
import { channelRatesHz, scanList } from '../../host/rig/scan-list.js';
import { openEmulatedRig, type VirtualRig } from '../../host/virtual-rig/index.js';
import { joined } from './contract.js';
import { PlainWorld } from './plain-world.js';
import { RIG } from './rig-profile.js';

let virtual: VirtualRig;
let rig: Rig;
afterEach(async () => {
  await rig?.close();
  virtual?.close();
});

async function connect(world = new PlainWorld()): Promise<RigEvent[]> {
  virtual = openEmulatedRig({ world, paced: false });
  rig = await connectRig({ port: virtual, clock: virtual.clock, rigProfile: RIG });
  const events: RigEvent[] = [];
  rig.onEvent((event) => events.push(event));
  return events;
}

describe('a scan list', () => {
  it('is the board’s own after a reset for a motor, and has the coil in the place of the motor for a relay', () => {
    // PROTOCOL.md, section on frames.
    expect(scanList(MOTOR_SCAN)).toBe('MABFMABCMABSMABMAB');
    expect(scanList(RELAY_SCAN)).toBe('CABFCABMCABSCABCAB');
  });

  it('gives every choice of channels all eighteen slots, fast ones equally and slow ones at least once', () => {
    let choices = 0;
    // Each channel fast, slow or left out: 3^6.
    for (let code = 0; code < 729; code++) {
      const place = (i: number): number => Math.floor(code / 3 ** i) % 3;
      const fast = RIG_CHANNELS.filter((_, i) => place(i) === 0);
      const slow = RIG_CHANNELS.filter((_, i) => place(i) === 1);
      const named = [...fast, ...slow];
      if (fast.length === 0 || !named.includes('motorCurrentA') || !named.includes('feedCurrentA')) {
        expect(() => scanList({ fast, slow })).toThrow(RangeError);
        continue;
      }
      choices += 1;
      const list = scanList({ fast, slow });
      expect(list).toMatch(/^[MABFCS]{18}$/);
      const rates = channelRatesHz(list, 0.001);
      expect(Object.keys(rates).sort()).toEqual([...named].sort());
      const fastRates = fast.map((channel) => rates[channel]!);
      if (slow.length > 0) expect(new Set(fastRates).size, list).toBe(1);
      for (const channel of slow) expect(rates[channel]!).toBeLessThanOrEqual(Math.min(...fastRates));
    }
    expect(choices).toBeGreaterThan(300);
  });

  it.each<[string, Channel[], Channel[], RegExp]>([
    ['no fast channel', [], [...RIG_CHANNELS], /no fast channel; name at least one/],
    ['a channel twice', ['motorCurrentA'], ['motorCurrentA', 'feedCurrentA'], /the motor current twice/],
    ['no feed current', ['motorCurrentA'], [], /leaves out the feed current.*guards.*add it to the slow/],
  ])('with %s is refused in one line', (_, fast, slow, told) => {
    expect(() => scanList({ fast, slow })).toThrow(told);
  });
});

describe('the shipped firmware with a scan list of the host', () => {
  it.each([
    { name: 'a motor', choice: MOTOR_SCAN, fast: ['motorCurrentA', 'leadAVoltageV', 'leadBVoltageV'] },
    { name: 'a relay', choice: RELAY_SCAN, fast: ['coilCurrentA', 'leadAVoltageV', 'leadBVoltageV'] },
  ])('for $name gives every channel its value, at its rate, without loss', async ({ choice, fast }) => {
    const world = new PlainWorld();
    const events = await connect(world);
    await rig.setScan!(choice);
    expect(rig.facts.sampleRateHz).toBe(5000);
    for (const channel of RIG_CHANNELS) {
      expect(rig.facts.channelRatesHz![channel], channel).toBe(fast.includes(channel) ? 5000 : 1000);
    }
    await rig.startStream();
    await rig.arm();
    await rig.setFeed('full');
    await rig.setPosition('forward', 2);
    await rig.clock.sleep(1);
    await rig.allOff();
    await rig.clock.sleep(0.05);
    await rig.stopStream();
    expect(rig.counters()).toMatchObject({
      framesLost: 0,
      crcErrors: 0,
      'board-framesLost': 0,
      'board-slotsLate': 0,
      'board-bytesLost': 0,
    });
    expect(events.filter(({ kind }) => kind !== 'samples')).toEqual([]);
    const { timeS, position, channel } = joined(events);
    const thrown = timeS.flatMap((atS, i) => (position[i] === 'forward' ? [{ atS, i }] : []));
    expect(thrown.length).toBeGreaterThan(4500);
    const [firstS, lastS] = [thrown[0]!.atS, thrown.at(-1)!.atS];
    // What the plain world gives while forward, to half a count of the converter.
    const wanted: Record<Channel, [number, number]> = {
      feedCurrentA: [5, 0.078125],
      motorCurrentA: [5, 0.078125],
      coilCurrentA: [0.16, 0.0009765625],
      leadAVoltageV: [12, 0.029296875],
      leadBVoltageV: [0, 0.029296875],
      supplyVoltageV: [12.5, 0.01953125],
    };
    for (const name of RIG_CHANNELS) {
      const [value, step] = wanted[name];
      const values = channel(name);
      expect(values.filter(Number.isNaN), name).toEqual([]);
      for (const { atS, i } of thrown) {
        // A straight line leads from the throw to the first sample after it: one distance, 1 ms where slow.
        if (atS < firstS + 0.0013 || atS > lastS - 0.0013) continue;
        expect(Math.abs(values[i]! - value), `${name} at ${atS}`).toBeLessThanOrEqual(step);
      }
    }
  });

  it('puts the fast rate where it was asked for: a step shows in a fast channel within one round', async () => {
    const events = await connect();
    await rig.setScan!(RELAY_SCAN);
    await rig.startStream();
    await rig.arm();
    await rig.setFeed('full');
    await rig.setPosition('forward', 2);
    await rig.clock.sleep(0.1);
    await rig.allOff();
    await rig.stopStream();
    const { timeS, position, channel } = joined(events);
    const thrownS = timeS[position.indexOf('forward')]!;
    const risenAfterS = (name: Channel, half: number): number =>
      timeS[channel(name).findIndex((value) => value > half)]! - thrownS;
    // Four slots of 1/18 ms at most from the throw to a fast channel's next sample, and one grid point.
    expect(risenAfterS('coilCurrentA', 0.08)).toBeLessThan(0.00043);
    expect(risenAfterS('leadAVoltageV', 6)).toBeLessThan(0.00043);
  });

  it('samples two channels at 8 kHz on a grid of their own', async () => {
    const events = await connect();
    await rig.setScan!({
      fast: ['motorCurrentA', 'leadAVoltageV'],
      slow: ['feedCurrentA', 'supplyVoltageV'],
    });
    // Eight rounds of two and two slow ones fill the eighteen slots.
    expect(rig.facts.sampleRateHz).toBe(8000);
    await rig.startStream();
    await rig.clock.sleep(0.3);
    await rig.stopStream();
    const { timeS } = joined(events);
    expect(timeS.length).toBeGreaterThan(2200);
    timeS.forEach((atS, i) => {
      expect(atS).toBeCloseTo(i / 8000, 9);
    });
    for (const event of events) {
      if (event.kind !== 'samples') throw new Error(`unexpected ${event.kind}`);
      expect(Object.keys(event.block.channels).sort()).toEqual([
        'feedCurrentA',
        'leadAVoltageV',
        'motorCurrentA',
        'supplyVoltageV',
      ]);
      for (const values of Object.values(event.block.channels)) expect(values.some(Number.isNaN)).toBe(false);
    }
  });

  it('is refused while streaming or armed, with a sentence, and nothing changes', async () => {
    await connect();
    const before = rig.facts;
    await rig.startStream();
    await expect(rig.setScan!(RELAY_SCAN)).rejects.toThrow(
      /refused "set-scan" \(number 36\): not possible while the stream is on/,
    );
    await rig.stopStream();
    await rig.arm();
    await expect(rig.setScan!(RELAY_SCAN)).rejects.toThrow(
      /refused "set-scan" \(number 35\): only possible while the board is idle/,
    );
    expect(rig.facts).toEqual(before);
    await rig.allOff();
    await rig.setScan!(RELAY_SCAN);
    expect(rig.facts.channelRatesHz!.coilCurrentA).toBe(5000);
  });

  it('is what connecting asks for, and the default again for the next program', async () => {
    await connect();
    await rig.close();
    rig = await connectRig({ port: virtual, clock: virtual.clock, rigProfile: RIG, scan: RELAY_SCAN });
    expect(rig.facts.channelRatesHz!.motorCurrentA).toBe(1000);
    await rig.close();
    rig = await connectRig({ port: virtual, clock: virtual.clock, rigProfile: RIG });
    expect(rig.facts.channelRatesHz!.motorCurrentA).toBe(5000);
  });
});
