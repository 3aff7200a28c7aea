// The virtual rig as the demo uses it: shipped firmware, simulated bench, one clock.

import { execFileSync } from 'node:child_process';
import { describe, expect, it } from 'vitest';
import { RIG_CHANNELS } from '../../host/capture/index.js';
import { caseSchema, type VirtualCase } from '../../host/profile/index.js';
import { connectRig, type RigEvent } from '../../host/rig/index.js';
import { chance } from '../../host/virtual-rig/chance.js';
import { openEmulatedRig, openVirtualRig, SimulatedBench } from '../../host/virtual-rig/index.js';
import { plannedUnit } from '../profile/planned-unit.js';
import { joined } from '../rig/contract.js';
import { PlainWorld } from '../rig/plain-world.js';
import { ROOT } from '../rules/source-tree.js';

const CASE = (more: Partial<VirtualCase> = {}): VirtualCase =>
  caseSchema.parse({ id: 'test-case', title: 'Test case', kind: 'case', seed: 5, temperatureC: 25, ...more });

/** Feed on, forward, release: what the channels read. */
async function capture(profile: string, virtualCase: VirtualCase, forwardS = 0.3) {
  const unit = plannedUnit(profile);
  const virtual = openVirtualRig({ unit, virtualCase, paced: false });
  const rig = await connectRig({ port: virtual, clock: virtual.clock, rigProfile: unit.rig });
  const events: RigEvent[] = [];
  rig.onEvent((event) => events.push(event));
  await rig.setTrip(unit.rig.trip);
  await rig.startStream();
  await rig.clock.sleep(0.05);
  await rig.arm();
  await rig.setCoilFeed?.('full');
  await rig.setFeed('full');
  await rig.clock.sleep(0.1);
  await rig.setPosition('forward', 2);
  await rig.clock.sleep(forwardS);
  await rig.setPosition('rest', 0);
  await rig.clock.sleep(0.15);
  await rig.allOff();
  await rig.stopStream();
  await rig.close();
  virtual.close();
  const { timeS, position, channel } = joined(events);
  const mean = (name: (typeof RIG_CHANNELS)[number], from: number, to: number): number => {
    const picked = channel(name).slice(from, to);
    return picked.reduce((sum, value) => sum + value, 0) / picked.length;
  };
  const thrownAt = position.indexOf('forward');
  const releasedAt = position.lastIndexOf('forward') + 1;
  return { events, timeS, position, channel, mean, thrownAt, releasedAt, counters: rig.counters() };
}

describe('virtual rig', () => {
  it('gives the same capture for the same seed, and another for another', async () => {
    const [a, b, c] = [
      await capture('roof-vent-switch', CASE()),
      await capture('roof-vent-switch', CASE()),
      await capture('roof-vent-switch', CASE({ seed: 6 })),
    ];
    for (const name of RIG_CHANNELS) expect(a.channel(name)).toEqual(b.channel(name));
    expect(a.channel('motorCurrentA')).not.toEqual(c.channel('motorCurrentA'));
  });

  it('obeys Kirchhoff: while forward the feed current is the motor current, within the channels’ own errors', async () => {
    const run = await capture('entry-step-relays', CASE());
    // Gain 0.5 % and offset 0.03 A standard each, three of them; lead loads take 0.6 mA.
    const [from, to] = [run.releasedAt - 500, run.releasedAt - 10];
    const feedA = run.mean('feedCurrentA', from, to);
    const motorA = run.mean('motorCurrentA', from, to);
    expect(motorA).toBeGreaterThan(2);
    expect(Math.abs(feedA - motorA)).toBeLessThan(3 * Math.hypot(0.005 * motorA, 0.005 * motorA, 0.03, 0.03));
  });

  it('shows a grounded rest, brake current against the motor’s own, and nothing but offsets at the end', async () => {
    const run = await capture('entry-step-relays', CASE());
    expect(Math.abs(run.mean('leadAVoltageV', run.thrownAt - 100, run.thrownAt))).toBeLessThan(0.1);
    const braking = run.channel('motorCurrentA').slice(run.releasedAt, run.releasedAt + 150);
    expect(Math.min(...braking)).toBeLessThan(-1);
    expect(Math.abs(run.mean('motorCurrentA', run.timeS.length - 100, run.timeS.length))).toBeLessThan(0.15);
  });

  it('shows an open rest: released, the leads float about ground with the back-EMF between them', async () => {
    const run = await capture('roof-vent-switch', CASE());
    const after = run.releasedAt + 60;
    const a = run.mean('leadAVoltageV', after, after + 25);
    const b = run.mean('leadBVoltageV', after, after + 25);
    expect(a - b).toBeGreaterThan(3);
    expect(Math.abs(a + b)).toBeLessThan(0.3);
    expect(Math.abs(run.mean('motorCurrentA', after, after + 25))).toBeLessThan(0.15);
  });

  it('does to the motor what the case says, and only that', async () => {
    const plain = await capture('entry-step-relays', CASE());
    const bound = await capture('entry-step-relays', CASE({ motorScale: { coulombNm: 2 } }));
    const runningA = (run: typeof plain): number =>
      run.mean('motorCurrentA', run.releasedAt - 300, run.releasedAt - 10);
    expect(runningA(bound) / runningA(plain)).toBeGreaterThan(1.3);
    expect(
      Math.abs(bound.mean('supplyVoltageV', 0, 500) - plain.mean('supplyVoltageV', 0, 500)),
    ).toBeLessThan(0.02);
  });

  it('drops worn brushes out again and again while the motor runs', async () => {
    const worn = CASE({ wornBrushes: { extraResistanceOhm: 0.3, dropoutsPerS: 20, dropoutS: 0.004 } });
    const dropouts = (run: Awaited<ReturnType<typeof capture>>): number => {
      const current = run.channel('motorCurrentA').slice(run.thrownAt + 500, run.releasedAt - 5);
      return current.filter((value, i) => value < 0.5 && (current[i - 1] ?? 9) >= 0.5).length;
    };
    const run = await capture('seat-slide-relays', worn, 1);
    expect(dropouts(run)).toBeGreaterThan(5);
    expect(dropouts(run)).toBeLessThan(40);
    expect(dropouts(await capture('seat-slide-relays', CASE(), 1))).toBe(0);
  });

  it('loses no frame and is late for no sample in a run', async () => {
    const { counters, events } = await capture('entry-step-relays', CASE(), 1);
    expect(counters).toMatchObject({
      framesLost: 0,
      crcErrors: 0,
      'board-framesLost': 0,
      'board-slotsLate': 0,
    });
    expect(events.filter(({ kind }) => kind !== 'samples')).toEqual([]);
  });

  it('refuses a fault that the unit’s circuit does not have, by name', () => {
    const unit = plannedUnit('roof-vent-switch');
    expect(() =>
      openVirtualRig({ unit, virtualCase: CASE({ faults: ['no-such-fault'] }), paced: false }),
    ).toThrow(/no-such-fault/);
  });

  it('tells a bench that cannot be simulated further as a lost link with the reason, and the program goes on', async () => {
    const world = new PlainWorld();
    const virtual = openEmulatedRig({ world, paced: false, rigId: 'bench-7' });
    const unit = plannedUnit('roof-vent-switch');
    const rig = await connectRig({ port: virtual, clock: virtual.clock, rigProfile: unit.rig });
    expect(rig.facts.rigId).toBe('bench-7');
    const lost: string[] = [];
    rig.onEvent((event) => {
      if (event.kind === 'lost') lost.push(event.sentence);
    });
    world.adcCounts = () => {
      throw new Error('no convergence at node feed-joint');
    };
    await rig.startStream().catch(() => undefined);
    await virtual.clock.sleep(0.2);
    expect(lost).toHaveLength(1);
    expect(lost[0]).toMatch(/simulated bench failed: no convergence at node feed-joint/);
    await rig.allOff();
    await rig.close();
    virtual.close();
  });

  it('runs without the native serial add-on being loaded', () => {
    const script = `
      const { openVirtualRig } = await import('./host/virtual-rig/index.ts');
      const { connectRig } = await import('./host/rig/index.ts');
      const { caseSchema, loadUnit } = await import('./host/profile/index.ts');
      const unit = loadUnit('roof-vent-stand-in');
      const virtualCase = caseSchema.parse({ id: 'x', title: 'x', kind: 'case', seed: 1 });
      const virtual = openVirtualRig({ unit, virtualCase, paced: false });
      const rig = await connectRig({ port: virtual, clock: virtual.clock, rigProfile: unit.rig });
      await rig.close();
      virtual.close();
      const loaded = process.report.getReport().sharedObjects.filter((path) => /serialport|bindings/.test(path));
      console.log(JSON.stringify({ rig: rig.facts.model, loaded }));`;
    const out = execFileSync(process.execPath, ['--import', 'tsx', '--input-type=module', '-e', script], {
      cwd: ROOT,
      encoding: 'utf8',
    });
    expect(JSON.parse(out)).toEqual({ rig: 'reference-rig', loaded: [] });
  });
});

describe('simulated bench', () => {
  it('draws inside the tolerances of the profile and noise of the size it states (seed 3)', () => {
    const unit = plannedUnit('roof-vent-switch');
    const supplies = Array.from({ length: 40 }, (_, seed) => {
      const bench = new SimulatedBench(unit, CASE(), chance(seed));
      const counts = Array.from({ length: 400 }, (_unused, i) => bench.adcCounts(5, 0.01 + i * 1e-4));
      const mean = counts.reduce((sum, value) => sum + value, 0) / counts.length;
      const rms = Math.sqrt(counts.reduce((sum, value) => sum + (value - mean) ** 2, 0) / counts.length);
      // 0.6 counts rms; 400 samples know it within 3.5 % (one sigma).
      expect(rms).toBeGreaterThan(0.5);
      expect(rms).toBeLessThan(0.7);
      return mean * 0.01953125;
    });
    // 13 V within 2 %, and the channel's own gain (0.3 % standard) and offset (0.01 V standard).
    for (const voltageV of supplies)
      expect(Math.abs(voltageV - 13)).toBeLessThan(0.26 + 4 * Math.hypot(0.039, 0.01));
    expect(Math.max(...supplies) - Math.min(...supplies)).toBeGreaterThan(0.2);
  });
});
