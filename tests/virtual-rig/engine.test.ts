import { describe, expect, it } from 'vitest';
import { VirtualClock } from '../../host/link/index.js';
import { Engine } from '../../host/virtual-rig/index.js';

function make(paced: boolean, wallS?: () => number) {
  const clock = new VirtualClock();
  const runs: number[] = [];
  const machine = { run: (untilS: number) => void runs.push(untilS) };
  const engine = new Engine({ clock, machine, paced, ...(wallS === undefined ? {} : { wallS }) });
  return { clock, runs, engine };
}
const turns = async (count: number): Promise<void> => {
  for (let i = 0; i < count; i++) await new Promise((resolve) => setImmediate(resolve));
};

describe('engine without pace', () => {
  it('moves the machine in slices of at most a millisecond and stops at each timer', async () => {
    const { clock, runs } = make(false);
    const seen: number[] = [];
    clock.after(0.0013, () => seen.push(runs.at(-1)!));
    await clock.sleep(0.003);
    expect(seen).toEqual([0.0013]);
    const steps = runs.map((untilS, i) => untilS - (runs[i - 1] ?? 0));
    expect(Math.max(...steps)).toBeLessThanOrEqual(0.001 + 1e-12);
    expect(runs.at(-1)).toBeCloseTo(0.003, 12);
  });

  it('lets the host react between slices, so that the machine never runs ahead of it', async () => {
    const { clock, runs } = make(false);
    // A host that answers each timer by setting another, through a chain of promises.
    for (let i = 0; i < 5; i++) await clock.sleep(0.01);
    expect(clock.nowS()).toBeCloseTo(0.05, 9);
    expect(runs.at(-1)).toBeCloseTo(0.05, 9);
  });

  it('stands still when nobody waits, and stops for good when told', async () => {
    const { clock, runs, engine } = make(false);
    engine.isPowered = true;
    await turns(20);
    expect(runs).toEqual([]);
    void clock.sleep(10);
    await turns(20);
    expect(runs.length).toBeGreaterThan(0);
    engine.stop();
    await turns(3);
    const { length } = runs;
    await turns(20);
    expect(runs.length).toBe(length);
  });
});

describe('engine at the pace of the wall clock', () => {
  it('does not run ahead of it', async () => {
    let wallS = 100;
    const { clock, engine } = make(true, () => wallS);
    engine.isPowered = true;
    await turns(5);
    wallS += 0.02;
    // Its rest between bursts is 4 ms of true time.
    for (let i = 0; i < 100 && clock.nowS() < 0.0195; i++)
      await new Promise((resolve) => setTimeout(resolve, 2));
    expect(clock.nowS()).toBeGreaterThan(0.018);
    expect(clock.nowS()).toBeLessThanOrEqual(0.02 + 1e-9);
    engine.stop();
  });

  it('gives up what a long stall left behind instead of rushing after it', async () => {
    let wallS = 100;
    const { clock, engine } = make(true, () => wallS);
    engine.isPowered = true;
    await turns(5);
    wallS += 60;
    await new Promise((resolve) => setTimeout(resolve, 60));
    expect(clock.nowS()).toBeGreaterThan(0.05);
    expect(clock.nowS()).toBeLessThanOrEqual(0.1 + 1e-9);
    engine.stop();
  });
});
