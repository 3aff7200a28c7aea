// What a link must survive, on the shipped firmware: after each fault the outputs are off in time, there is a clear
// word, no wrong sample, and the next run works without a restart.

import { afterEach, describe, expect, it } from 'vitest';
import { connectRig, type Rig, type RigEvent } from '../../host/rig/index.js';
import { openEmulatedRig, type VirtualRig } from '../../host/virtual-rig/index.js';
import { joined } from './contract.js';
import { HostileBinding } from './hostile-binding.js';
import { PlainWorld } from './plain-world.js';
import { RIG } from './rig-profile.js';

/** The board's own limit, and a slice of the emulation. */
const SILENCE_S = 0.25 + 0.003;

class Bench {
  readonly world = new PlainWorld();
  readonly virtual: VirtualRig = openEmulatedRig({ world: this.world, paced: false });
  readonly binding: HostileBinding;
  readonly clock = this.virtual.clock;
  events: RigEvent[] = [];
  rig!: Rig;

  constructor(seed: number) {
    this.binding = new HostileBinding(this.virtual.binding, seed);
  }

  async connect(): Promise<void> {
    this.rig = await connectRig({
      port: { binding: this.binding, path: 'virtual' },
      clock: this.clock,
      rigProfile: RIG,
    });
    this.events = [];
    this.rig.onEvent((event) => this.events.push(event));
  }

  async throwForward(): Promise<void> {
    await this.rig.startStream();
    await this.rig.arm();
    await this.rig.setFeed('full');
    await this.rig.setPosition('forward', 2);
  }

  /** A whole run as the bench does it. */
  async run(): Promise<void> {
    await this.throwForward();
    await this.clock.sleep(0.4);
    await this.rig.setPosition('rest', 0);
    await this.clock.sleep(0.2);
    await this.rig.setPosition('reverse', 2);
    await this.clock.sleep(0.4);
    await this.rig.allOff();
    await this.rig.stopStream();
  }

  /** Calls off the harm and shows that a fresh connection does a whole run, without a restart of anything. */
  async worksAgain(): Promise<void> {
    await this.rig.close();
    this.binding.toHost = {};
    this.binding.toBoard = {};
    await this.connect();
    await this.run();
    expect(this.events.filter(({ kind }) => kind !== 'samples')).toEqual([]);
    expect(new Set(joined(this.events).position)).toEqual(new Set(['rest', 'forward', 'reverse']));
    expect(this.world.isOff).toBe(true);
  }

  get lost() {
    return this.events.flatMap((event) =>
      event.kind === 'lost' ? [`${event.sentence}. ${event.advice}`] : [],
    );
  }

  /** Every sample that is there is what the plain world gives; everything else is NaN inside a told gap. */
  expectTrueSamples(): { missing: number; lostFrames: number } {
    const { timeS, channel } = joined(this.events);
    const gaps = this.events.flatMap((event) => (event.kind === 'gap' ? [event] : []));
    let missing = 0;
    channel('motorCurrentA').forEach((currentA, i) => {
      const atS = timeS[i]!;
      if (Number.isNaN(currentA)) {
        missing += 1;
        expect(gaps.some(({ fromS, toS }) => atS >= fromS - 1e-9 && atS <= toS + 1e-9)).toBe(true);
        return;
      }
      // Straight lines between two levels lie between them.
      expect(Math.abs(currentA)).toBeLessThanOrEqual(this.world.motorCurrentA + 0.08);
    });
    return { missing, lostFrames: gaps.reduce((sum, gap) => sum + gap.lostFrames, 0) };
  }
}

const benches: Bench[] = [];
function bench(seed: number): Bench {
  const made = new Bench(seed);
  benches.push(made);
  return made;
}
afterEach(async () => {
  for (const { rig, virtual } of benches.splice(0)) {
    await rig?.close();
    virtual.close();
  }
});

describe('damage on the wire', () => {
  it.each([
    { flip: 1e-4, seed: 11 },
    { flip: 1e-3, seed: 12 },
  ])(
    'survives $flip of all bytes damaged both ways, seed $seed: samples true or missing, gaps told',
    async ({ flip, seed }) => {
      const b = bench(seed);
      await b.connect();
      b.binding.toHost = { flip };
      b.binding.toBoard = { flip };
      await b.run();
      const { missing, lostFrames } = b.expectTrueSamples();
      const counters = b.rig.counters();
      expect(b.binding.flipped).toBeGreaterThan(0);
      expect(lostFrames).toBe(counters.framesLost);
      if (flip === 1e-3) {
        expect(lostFrames).toBeGreaterThan(10);
        expect(missing).toBeGreaterThanOrEqual(5 * lostFrames - 5);
      }
      expect(b.lost).toEqual([]);
      expect(b.world.isOff).toBe(true);
      await b.worksAgain();
    },
  );

  it.each([
    { harm: { drop: 0.05 }, seed: 21 },
    { harm: { repeat: 0.1 }, seed: 22 },
    { harm: { drop: 0.03, repeat: 0.03, cutTo: 7 }, seed: 23 },
  ])(
    'survives chunks lost and repeated on the way to the host: $harm, seed $seed',
    async ({ harm, seed }) => {
      const b = bench(seed);
      await b.connect();
      b.binding.toHost = harm;
      await b.run();
      const { lostFrames } = b.expectTrueSamples();
      expect(b.binding.dropped + b.binding.repeated).toBeGreaterThan(0);
      if (harm.drop !== undefined) expect(lostFrames).toBeGreaterThan(0);
      else expect(b.rig.counters().framesRepeated).toBeGreaterThan(0);
      expect(b.lost).toEqual([]);
      await b.worksAgain();
    },
  );

  it.each([{ cutTo: 1 }, { cutTo: 3 }, { cutTo: 50 }])(
    'does not mind where lines are cut: $cutTo, seed 31',
    async ({ cutTo }) => {
      const b = bench(31);
      await b.connect();
      b.binding.toHost = { cutTo };
      b.binding.toBoard = { cutTo };
      await b.run();
      expect(b.events.filter(({ kind }) => kind !== 'samples')).toEqual([]);
    },
  );

  it('survives requests lost and repeated on the way to the board, which acts once on each, seed 24', async () => {
    const b = bench(24);
    await b.connect();
    b.binding.toBoard = { drop: 0.1, repeat: 0.1 };
    await b.run();
    expect(b.binding.dropped + b.binding.repeated).toBeGreaterThan(2);
    const throws = b.world.changes.filter(
      ({ outputs }, i) => outputs.throwForward && !b.world.changes[i - 1]?.outputs.throwForward,
    );
    expect(throws).toHaveLength(1);
    await b.worksAgain();
  });

  it('takes 10 s of noise in mid-throw for a loss; outputs are off in time and the next run works, seed 41', async () => {
    const b = bench(41);
    await b.connect();
    await b.throwForward();
    await b.clock.sleep(0.2);
    const fromS = b.clock.nowS();
    let noticedS = 0;
    b.rig.onEvent(({ kind }) => {
      if (kind === 'lost') noticedS = b.clock.nowS() - fromS;
    });
    b.binding.toHost = { isNoise: true };
    b.binding.toBoard = { isNoise: true };
    await b.clock.sleep(10);
    expect(noticedS).toBeGreaterThan(0);
    expect(noticedS).toBeLessThan(0.5);
    expect(b.world.offAfter(fromS)! - fromS).toBeLessThan(SILENCE_S);
    expect(b.world.isOff).toBe(true);
    expect(b.lost[0]).toMatch(/link to the rig on port virtual was lost.*outputs off by itself/);
    await b.worksAgain();
  });
});

describe('a cable pulled', () => {
  const phases: Record<string, (b: Bench) => Promise<void>> = {
    'while idle': async () => {},
    'while streaming': (b) => b.rig.startStream(),
    'while armed': (b) => b.rig.arm(),
    'while fed': async (b) => {
      await b.rig.arm();
      await b.rig.setFeed('full');
    },
    'in mid-throw': (b) => b.throwForward(),
    'in the dead time': async (b) => {
      await b.throwForward();
      await b.rig.setPosition('rest', 0);
    },
    'in a throw the other way': async (b) => {
      await b.throwForward();
      await b.rig.setPosition('reverse', 1);
    },
    'after all off': async (b) => {
      await b.throwForward();
      await b.rig.allOff();
    },
  };
  it.each(Object.entries(phases))('%s: outputs off in time, told once, next run works', async (_, reach) => {
    const b = bench(51);
    await b.connect();
    await reach(b);
    const wasOn = !b.world.isOff;
    const fromS = b.clock.nowS();
    b.virtual.binding.unplug();
    await b.clock.sleep(0.5);
    expect(b.lost).toHaveLength(1);
    expect(b.lost[0]).toMatch(/link to the rig on port virtual was lost \(the port vanished\)/);
    expect(b.world.isOff).toBe(true);
    if (wasOn) expect(b.world.offAfter(fromS)! - fromS).toBeLessThan(SILENCE_S);
    await expect(b.rig.setFeed('full')).rejects.toMatchObject({ code: 'link-lost' });
    await b.rig.allOff();
    b.virtual.binding.plug();
    await b.worksAgain();
  });

  it('while it settles: refused with a clear word, nothing left open', async () => {
    const b = bench(52);
    b.clock.after(0.001, () => b.virtual.binding.unplug());
    await expect(b.connect()).rejects.toMatchObject({ code: 'link-lost' });
    b.virtual.binding.plug();
    await b.connect();
    await b.run();
    await b.worksAgain();
  });

  it('goes unnoticed by the system, as on some: noticed within 500 ms all the same', async () => {
    const b = bench(53);
    await b.connect();
    await b.throwForward();
    const fromS = b.clock.nowS();
    let noticedS = 0;
    b.rig.onEvent(({ kind }) => {
      if (kind === 'lost') noticedS = b.clock.nowS() - fromS;
    });
    b.binding.toHost = { drop: 1 };
    b.binding.toBoard = { drop: 1 };
    await b.clock.sleep(0.6);
    expect(noticedS).toBeGreaterThan(0.2);
    expect(noticedS).toBeLessThan(0.5);
    expect(b.world.offAfter(fromS)! - fromS).toBeLessThan(SILENCE_S);
    await b.worksAgain();
  });
});

describe('board and host in trouble', () => {
  it('tells a board reset in mid-throw as a loss; outputs are off at the reset', async () => {
    const b = bench(61);
    await b.connect();
    await b.throwForward();
    await b.clock.sleep(0.1);
    const fromS = b.virtual.board.timeS;
    b.virtual.board.reset('external');
    await b.clock.sleep(0.3);
    expect(b.world.isOff).toBe(true);
    expect(b.world.offAfter(fromS)! - fromS).toBeLessThan(0.001);
    expect(b.lost).toHaveLength(1);
    expect(b.lost[0]).toMatch(/board restarted by itself, cause /);
    await b.worksAgain();
  });

  it('tells a stalled firmware by its watchdog', async () => {
    const b = bench(62);
    await b.connect();
    await b.throwForward();
    await b.clock.sleep(0.1);
    b.virtual.board.stallMainLoop();
    await b.clock.sleep(0.6);
    expect(b.world.isOff).toBe(true);
    expect(b.events.filter(({ kind }) => kind !== 'samples')[0]).toMatchObject({
      kind: 'stopped',
      reason: 'watchdog',
    });
    expect(b.lost).toHaveLength(1);
    await b.worksAgain();
  });

  it('is stopped by the board when the host falls silent: outputs off within 250 ms of its last line', async () => {
    const b = bench(63);
    await b.connect();
    await b.throwForward();
    const fromS = b.clock.nowS();
    // The host's lines no longer come through; the board's still do.
    b.binding.toBoard = { drop: 1 };
    await b.clock.sleep(0.33);
    const offS = b.world.offAfter(fromS)! - fromS;
    expect(offS).toBeGreaterThan(0.15);
    expect(offS).toBeLessThan(SILENCE_S);
    expect(b.events.some((event) => event.kind === 'stopped' && event.reason === 'host-silence')).toBe(true);
    await b.worksAgain();
  });

  it('tells an over-current that stopped the board in the words of the bench, with the current that it was', async () => {
    const b = bench(64);
    await b.connect();
    await b.rig.setTrip({ motorCurrentA: 4, feedCurrentA: 20, samples: 3 });
    await b.throwForward();
    await b.clock.sleep(0.05);
    expect(b.world.isOff).toBe(true);
    expect(b.events.find(({ kind }) => kind === 'stopped')).toEqual({
      kind: 'stopped',
      reason: 'over-current',
      sentence: 'the board cut the outputs: motor current above its trip limit',
    });
    await b.rig.clearStop();
    b.virtual.board.setStopLoop(false);
    await expect(b.rig.arm()).rejects.toThrow(/stop loop is open|stop is latched/);
    b.virtual.board.setStopLoop(true);
    await b.clock.sleep(0.05);
    await b.rig.clearStop();
    await b.rig.setTrip(RIG.trip);
    await b.worksAgain();
  });

  it('tells a stop whose word was lost on the line when it clears it, and only once', async () => {
    const b = bench(66);
    await b.connect();
    expect(b.rig.facts.earlierStop).toBeUndefined();
    await b.throwForward();
    b.binding.toHost = { drop: 1 };
    b.virtual.board.setStopLoop(false);
    await b.clock.sleep(0.005);
    b.virtual.board.setStopLoop(true);
    await b.clock.sleep(0.005);
    b.binding.toHost = {};
    await b.rig.clearStop();
    await b.rig.clearStop();
    expect(b.events.filter(({ kind }) => kind === 'stopped')).toEqual([
      { kind: 'stopped', reason: 'stop-input', sentence: 'the stop loop opened; the board cut the outputs' },
    ]);
    await b.worksAgain();
  });

  it('tells the program that comes next why the board had stopped, although opening the port restarts it', async () => {
    const b = bench(67);
    await b.connect();
    await b.throwForward();
    b.virtual.board.setStopLoop(false);
    await b.clock.sleep(0.01);
    b.virtual.board.setStopLoop(true);
    await b.rig.close();
    await b.connect();
    expect(b.rig.facts.earlierStop).toBe('stop-input');
    await b.worksAgain();
    expect(b.rig.facts.earlierStop).toBeUndefined();
  });

  it('connects and disconnects 25 times without a timer or handle left behind', async () => {
    const b = bench(65);
    await b.connect();
    await b.rig.close();
    const before = process.getActiveResourcesInfo().length;
    for (let cycle = 0; cycle < 25; cycle++) {
      await b.connect();
      await b.rig.close();
      expect(b.virtual.binding.isOpen).toBe(false);
      expect(b.clock.nextDueS).toBe(Number.POSITIVE_INFINITY);
    }
    expect(process.getActiveResourcesInfo().length).toBeLessThanOrEqual(before + 1);
  });
});
