// Looking at a rig and naming it, on the shipped firmware: what is told is true, and no output ever goes on.

import { afterEach, describe, expect, it } from 'vitest';
import { type Channel, RIG_CHANNELS } from '../../host/capture/index.js';
import { connectRig, type RigSurvey, surveyRig } from '../../host/rig/index.js';
import { openEmulatedRig, type VirtualRig } from '../../host/virtual-rig/index.js';
import { PlainWorld } from './plain-world.js';
import { RIG } from './rig-profile.js';

let virtual: VirtualRig;
let survey: RigSurvey | undefined;
let world: PlainWorld;
afterEach(async () => {
  await survey?.close();
  virtual.close();
  survey = undefined;
});

function power(rigId?: string): VirtualRig {
  world = new PlainWorld();
  virtual = openEmulatedRig({ world, paced: false, ...(rigId === undefined ? {} : { rigId }) });
  return virtual;
}
const look = async (rigId?: string): Promise<RigSurvey> => {
  survey = await surveyRig({
    port: virtual,
    clock: virtual.clock,
    rigProfile: RIG,
    ...(rigId === undefined ? {} : { rigId }),
  });
  return survey;
};
const everOn = (): boolean => world.changes.some(({ outputs }) => Object.values(outputs).some(Boolean));

describe('a look at a rig', () => {
  it('tells every channel in counts, volts at the pin and its own unit, and energises nothing', async () => {
    power();
    const seen = await (await look()).look(0.2);
    // What the plain world gives at rest; volts at the pin are counts / 204.8 (RIG.md, bring-up).
    const wanted: Record<Channel, [counts: number, pinV: number, reading: number]> = {
      feedCurrentA: [8 / 0.078125, 0.5, 0],
      motorCurrentA: [512, 2.5, 0],
      coilCurrentA: [0, 0, 0],
      leadAVoltageV: [10 / 0.029296875, 1.667, 0],
      leadBVoltageV: [10 / 0.029296875, 1.667, 0],
      supplyVoltageV: [12.5 / 0.01953125, 3.125, 12.5],
    };
    expect(seen.channels.map(({ channel }) => channel)).toEqual([...RIG_CHANNELS]);
    for (const { channel, samples, counts, pinVoltageV, reading } of seen.channels) {
      const [wantedCounts, pinV, value] = wanted[channel];
      expect(Math.abs(counts.mean - wantedCounts), channel).toBeLessThanOrEqual(0.5);
      expect(pinVoltageV).toBeCloseTo(pinV, 2);
      expect(Math.abs(reading.mean - value)).toBeLessThanOrEqual(0.5 * RIG.scales[channel].perCount + 1e-9);
      expect(counts.scatter).toBe(0);
      // One sample a millisecond, or five.
      expect(samples).toBeGreaterThanOrEqual(199);
    }
    expect(seen.lostFrames).toBe(0);
    expect(seen.state).toMatchObject({ position: 'rest', feed: 'off', mode: 'idle', stop: 'none' });
    expect(everOn()).toBe(false);
  });

  it('gives mean and standard deviation of what the converter saw', async () => {
    power();
    let sample = 0;
    // Two levels in turn: mean between them, deviation half their distance (population formula).
    const plain = world.adcCounts.bind(world);
    world.adcCounts = (input) => (input === 5 ? [640, 644][sample++ % 2]! : plain(input));
    const { channels } = await (await look()).look(0.2);
    const supply = channels.find(({ channel }) => channel === 'supplyVoltageV')!;
    expect(supply.counts.mean).toBeCloseTo(642, 0);
    expect(supply.counts.scatter).toBeCloseTo(2, 1);
    expect(supply.reading.scatter).toBeCloseTo(2 * 0.01953125, 2);
  });

  it('tells board, limits, and an open stop loop', async () => {
    power('bench-9');
    virtual.board.setStopLoop(false);
    const { board, limits, look: take } = await look();
    expect(board.hello).toMatchObject({ rigId: 'bench-9', protocol: 1, resetCause: 'external' });
    expect(board.constants).toMatchObject({ clockHz: 16_000_000, silenceMs: 250, holdCeilingMs: 60_000 });
    // Defaults of the board: 256 and 358 counts (PROTOCOL.md, constants).
    const told = await limits.call(survey);
    expect(told).toMatchObject({ tripMotorCurrentA: 20, tripSamples: 3, deadTimeS: 0.3 });
    expect(told.tripFeedCurrentA).toBeCloseTo(358 * 0.078125 - 8, 9);
    expect((await take.call(survey, 0.2)).state.stopLoop).toBe('open');
  });

  it('still reads, and says why the board stopped, while a stop is latched', async () => {
    power();
    const under = await look();
    await under.link.request({ verb: 'stop' });
    const { state, channels } = await under.look(0.2);
    expect(state).toMatchObject({ mode: 'stopped', stop: 'host-request', feed: 'off' });
    expect(channels.every(({ samples }) => samples > 100)).toBe(true);
  });

  it('shows all six channels also where an earlier program left another scan list', async () => {
    power();
    const now = await look();
    await now.link.request({ verb: 'set-scan', scan: 'MFMFMFMFMFMFMFMFMF' });
    const { channels } = await now.look(0.1);
    expect(channels.every(({ samples }) => samples >= 99)).toBe(true);
  });
});

describe('a rig is known by its id', () => {
  it('is taken when it answers with the id that was asked for, by driver and survey', async () => {
    power('bench-1');
    await (await look('bench-1')).close();
    const rig = await connectRig({ port: virtual, clock: virtual.clock, rigProfile: RIG, rigId: 'bench-1' });
    expect(rig.facts.rigId).toBe('bench-1');
    await rig.close();
  });

  it('is refused with one line when it is another one behind the same port name; the port is closed again', async () => {
    power('bench-2');
    const options = { port: virtual, clock: virtual.clock, rigProfile: RIG, rigId: 'bench-1' };
    for (const attempt of [connectRig, surveyRig]) {
      const error = await attempt(options).then(
        () => undefined,
        (reason: Error) => reason,
      );
      expect(error).toMatchObject({ code: 'other-rig', family: 'final' });
      expect(error!.message).toBe('the rig on port virtual is "bench-2", not "bench-1"');
      expect(virtual.binding.isOpen).toBe(false);
      expect(virtual.clock.nextDueS).toBe(Number.POSITIVE_INFINITY);
    }
    expect(everOn()).toBe(false);
  });

  it('gets its id into the EEPROM, proven by reading it back after a restart, and keeps it', async () => {
    power();
    const under = await look();
    expect(under.board.hello.rigId).toBe('unnamed');
    // The longest that fits.
    expect(await under.storeId('Bench_3.left-16c')).toEqual({ isProven: true });
    expect(under.board.hello.rigId).toBe('Bench_3.left-16c');
    await under.close();
    expect((await look()).board.hello.rigId).toBe('Bench_3.left-16c');
    expect(everOn()).toBe(false);
  });

  it('does not claim proof when opening does not restart the board', async () => {
    power();
    const under = await look();
    virtual.board.reset = () => {};
    expect(await under.storeId('bench-5')).toEqual({ isProven: false });
  });

  it('is named after a stop too, but not while the stop loop is open, and says so', async () => {
    power();
    const under = await look();
    await under.link.request({ verb: 'stop' });
    expect(await under.storeId('bench-6')).toEqual({ isProven: true });
    await under.link.request({ verb: 'stop' });
    virtual.board.setStopLoop(false);
    await expect(under.storeId('bench-7')).rejects.toThrow(
      /refused "set-rig": .*stop loop is open; release the stop button first/,
    );
    virtual.board.setStopLoop(true);
    await under.close();
    expect((await look()).board.hello.rigId).toBe('bench-6');
  });
});
