// What every rig must do, emulated or real. On a real one: supply on, no unit connected.

import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { RIG_CHANNELS } from '../../host/capture/index.js';
import type { Clock, PortChoice } from '../../host/link/index.js';
import { connectRig, type Rig, type RigEvent, type SampleBlock } from '../../host/rig/index.js';
import { RIG } from './rig-profile.js';

export interface RigUnderTest {
  port: PortChoice;
  clock: Clock;
  close(): Promise<void>;
}

/** Blocks joined, for reading. */
export function joined(events: RigEvent[]) {
  const blocks = events.flatMap((event) => (event.kind === 'samples' ? [event.block] : []));
  const join = (pick: (block: SampleBlock) => Float64Array): number[] =>
    blocks.flatMap((block) => [...pick(block)]);
  return {
    timeS: join(({ timeS }) => timeS),
    position: blocks.flatMap(({ position }) => position),
    channel: (name: (typeof RIG_CHANNELS)[number]) => join(({ channels }) => channels[name]!),
  };
}

export function describeRig(name: string, open: () => Promise<RigUnderTest>): void {
  describe(`contract of a rig: ${name}`, () => {
    let under: RigUnderTest;
    let rig: Rig;
    let events: RigEvent[];

    beforeEach(async () => {
      under = await open();
      rig = await connectRig({ port: under.port, clock: under.clock, rigProfile: RIG });
      events = [];
      rig.onEvent((event) => events.push(event));
    });
    afterEach(async () => {
      await rig.close();
      await under.close();
    });

    const stops = (): string[] => events.flatMap((event) => (event.kind === 'stopped' ? [event.reason] : []));

    it('tells who it is and what its board enforces', () => {
      expect(rig.facts.rigId).toMatch(/^[A-Za-z0-9._-]{1,16}$/);
      expect(rig.facts.protocolVersion).toBe('1');
      expect(rig.facts.firmwareVersion).toMatch(/^\d+\.\d+\.\d+$/);
      expect(rig.facts.deadTimeS).toBeGreaterThanOrEqual(0.3);
      expect(rig.facts.hostSilenceS).toBe(0.25);
      expect(rig.facts.longestHoldS).toBe(5);
      expect(rig.facts.sampleRateHz).toBe(5000);
    });

    it('throws nothing before it is armed, and says why', async () => {
      await expect(rig.setPosition('forward', 0.5)).rejects.toThrow(/refused "throw".*not armed/);
      await expect(rig.setFeed('limited')).rejects.toThrow(/refused "feed".*not armed/);
    });

    it('samples every channel on one uniform grid without a hole', async () => {
      await rig.startStream();
      await rig.clock.sleep(0.5);
      await rig.stopStream();
      const { timeS, channel } = joined(events);
      expect(timeS.length).toBeGreaterThan(1500);
      timeS.forEach((at, i) => {
        expect(at).toBeCloseTo(i * 0.0002, 9);
      });
      for (const name of RIG_CHANNELS) expect(channel(name).filter(Number.isNaN), name).toEqual([]);
      expect(events.filter(({ kind }) => kind === 'gap')).toEqual([]);
    });

    it('tells the position sample by sample and waits out the dead time between two throws', async () => {
      await rig.startStream();
      await rig.arm();
      await rig.setFeed('limited');
      await rig.setPosition('forward', 1);
      await rig.clock.sleep(0.1);
      await rig.setPosition('reverse', 1);
      await rig.clock.sleep(0.1);
      await rig.setPosition('rest', 0);
      await rig.clock.sleep(0.05);
      await rig.stopStream();
      const { timeS, position } = joined(events);
      const turns = position.flatMap((now, i) =>
        i > 0 && now !== position[i - 1] ? [{ now, atS: timeS[i]! }] : [],
      );
      expect(turns.map(({ now }) => now)).toEqual(['forward', 'rest', 'reverse', 'rest']);
      const deadS = turns[2]!.atS - turns[1]!.atS;
      expect(deadS).toBeGreaterThanOrEqual(rig.facts.deadTimeS - 0.0005);
      expect(deadS).toBeLessThan(rig.facts.deadTimeS + 0.1);
    });

    it('switches everything off at once, also twice and also while a throw waits for its dead time', async () => {
      await rig.arm();
      await rig.setFeed('limited');
      await rig.setPosition('forward', 1);
      const waiting = rig.setPosition('reverse', 1).catch((error: Error) => error);
      await Promise.all([rig.allOff(), rig.allOff()]);
      await rig.clock.sleep(0.5);
      expect(await waiting).toBeInstanceOf(Error);
      await rig.startStream();
      await rig.clock.sleep(0.05);
      await rig.stopStream();
      expect(new Set(joined(events).position)).toEqual(new Set(['rest']));
    });

    it('is stopped by the board when a throw outlasts its hold, stays stopped until cleared, then works again', async () => {
      await rig.arm();
      await rig.setFeed('limited');
      await rig.setPosition('forward', 0.2);
      await rig.clock.sleep(0.4);
      expect(stops()).toEqual(['longest-hold']);
      await expect(rig.arm()).rejects.toThrow(/refused "arm".*stop is latched/);
      await rig.clearStop();
      await rig.arm();
      await rig.setPosition('reverse', 0.5);
      await rig.allOff();
      expect(stops()).toEqual(['longest-hold']);
    });

    it('refuses limits and holds that it cannot keep, naming what it can', async () => {
      await expect(rig.setTrip({ motorCurrentA: 55, feedCurrentA: 20, samples: 3 })).rejects.toThrow(
        /the motor current is 55; this rig can hold 0\.08 to 37\.50/,
      );
      await rig.arm();
      await expect(rig.setPosition('forward', 6)).rejects.toThrow(/may last 6 s.*at most 5 s/);
      await expect(rig.setPosition('forward', 0)).rejects.toThrow(/for 0 s is none/);
    });

    it('comes up idle with everything off when it is connected again', async () => {
      await rig.arm();
      await rig.setFeed('limited');
      await rig.setPosition('forward', 2);
      await rig.close();
      rig = await connectRig({ port: under.port, clock: under.clock, rigProfile: RIG });
      events = [];
      rig.onEvent((event) => events.push(event));
      await rig.startStream();
      await rig.clock.sleep(0.05);
      await rig.stopStream();
      expect(new Set(joined(events).position)).toEqual(new Set(['rest']));
      await expect(rig.setFeed('limited')).rejects.toThrow(/not armed/);
    });

    it('keeps counters and raw lines for the record', async () => {
      await rig.startStream();
      await rig.clock.sleep(0.05);
      await rig.stopStream();
      expect(rig.counters()).toMatchObject({ framesLost: 0, crcErrors: 0, 'board-framesLost': 0 });
      expect(rig.rawLines!().some((line) => line.includes('stream on'))).toBe(true);
    });
  });
}
