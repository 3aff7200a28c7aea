// The second amplifier of the motor current: used where it is there and sees all of a motor, told where it is not.

import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, describe, expect, it } from 'vitest';
import { BOARD, type Frame, SCAN_LETTERS } from '../../firmware-protocol/index.js';
import { type BenchEvent, runUnit } from '../../host/bench/index.js';
import { measure } from '../../host/measure/index.js';
import {
  caseSchema,
  finelyReadable,
  loadCase,
  loadRig,
  loadUnit,
  type ResolvedUnit,
} from '../../host/profile/index.js';
import { openStore } from '../../host/records/index.js';
import { connectRig, SMALL_MOTOR_SCAN, UniformGrid } from '../../host/rig/index.js';
import { scanList } from '../../host/rig/scan-list.js';
import { openEmulatedRig, openVirtualRig, type VirtualRig } from '../../host/virtual-rig/index.js';
import { watchedRun } from '../accuracy/watched-run.js';
import { connectionTo } from '../bench/connection.js';
import { PlainWorld } from './plain-world.js';

const rigProfile = loadRig('reference-rig');
const FINE_A = rigProfile.fineScales!.motorCurrentA.perCount;
const SCAN = scanList(SMALL_MOTOR_SCAN);

const SEED = 3;
/** What one sample of a small motor's current is to be good to, with 95 %. */
const PLUS_MINUS_A = 0.012;

/** 0.3 A running, 1.3 A held at 13 V: the lid of a small vent (common practice, no source). */
const vent = loadUnit('roof-vent-stand-in');
const { family: _, ...lid } = vent.motor;
const small: ResolvedUnit = {
  ...vent,
  plan: {
    ...vent.plan,
    steps: [
      { position: 'rest', durationS: 0.1, feed: 'off' },
      { position: 'rest', durationS: 0.1, feed: 'limited' },
      { position: 'forward', durationS: 0.1, feed: 'limited' },
      { position: 'rest', durationS: 0.3, feed: 'full' },
      { position: 'forward', durationS: 0.6, feed: 'full' },
      { position: 'rest', durationS: 0.2, feed: 'full' },
    ],
  },
  // Calibrated against a bench meter of 0.1 %: a gain of 0.5 %, as a hand meter leaves it, is 11 mA at the peak by itself.
  rig: {
    ...vent.rig,
    fineScales: { motorCurrentA: { ...rigProfile.fineScales!.motorCurrentA, gainUncertaintyPercent: 0.1 } },
  },
  motor: {
    ...lid,
    resistanceOhm: { nominal: 10, tolerancePercent: 10 },
    inductanceH: 0.008,
    backEmfVsPerRad: 0.04,
    torqueNmPerA: 0.0388,
    inertiaKgM2: 4e-6,
    viscousNms: 1e-5,
    coulombNm: 0.009,
  },
};

const FINE_INPUT = SCAN_LETTERS.N.adc;

class World extends PlainWorld {
  #last = 0;
  constructor(readonly fine: (last: number) => number) {
    super();
  }
  override adcCounts(input: number): number {
    if (input === FINE_INPUT) return this.fine(this.#last);
    this.#last = super.adcCounts(input);
    return this.#last;
  }
}

describe('the scan of a small motor', () => {
  it('reads it finely four times a frame, and once in a while by the input that guards the outputs', () => {
    expect(SCAN).toHaveLength(BOARD.slotCount);
    expect([...SCAN].filter((letter) => letter === 'N')).toHaveLength(4);
    for (const letter of ['M', 'F']) expect([...SCAN].filter((one) => one === letter)).toHaveLength(2);
  });

  it('is for motors whose held current lies on the finer scale, and on rigs that have one', () => {
    expect(finelyReadable(small)).toEqual(['motorCurrentA']);
    expect(finelyReadable(vent)).toEqual([]);
    const { fineScales: __, ...plain } = small.rig;
    expect(finelyReadable({ ...small, rig: plain })).toEqual([]);
  });
});

describe('a motor of 0.3 A on the virtual rig, its brushes lifting', () => {
  it('reads the peak and each dropout within 12 mA in one sample, and states a ± to match', async () => {
    const worn = caseSchema.parse({
      id: 'worn',
      kind: 'case',
      title: 'Worn brushes',
      seed: SEED,
      wornBrushes: { extraResistanceOhm: 0, dropoutsPerS: 12, dropoutS: 0.004 },
    });
    const { capture, truth, stop } = await watchedRun(small, worn, SEED, small.plan, true);
    expect(stop).toBeUndefined();
    expect(capture.sampleRateHz).toBe(4000);
    const real = truth.channels.motorCurrentA;
    // Measuring takes the zero from the lead-in, where everything is off.
    const firstFed = capture.feed!.findIndex((feed) => feed !== 'off');
    const zeroA =
      capture.channels.motorCurrentA!.slice(0, firstFed).reduce((sum, a) => sum + a, 0) / firstFed;
    const read = capture.channels.motorCurrentA!.map((a) => a - zeroA);
    let next = 0;
    const errors = Array.from(capture.timeS, (timeS, i) => {
      while (next < real.timeS.length - 2 && real.timeS[next + 1]! < timeS) next++;
      const [a, b] = [next, next + 1];
      const share = (timeS - real.timeS[a]!) / (real.timeS[b]! - real.timeS[a]!);
      const trueA = real.value[a]! + share * (real.value[b]! - real.value[a]!);
      return { timeS, trueA, errorA: read[i]! - trueA };
    });
    const inThrow = errors.map((_, i) => capture.position[i] !== 'rest' && capture.feed![i] === 'full');
    const nearest = (timeS: number) =>
      errors.reduce((a, b) => (Math.abs(b.timeS - timeS) < Math.abs(a.timeS - timeS) ? b : a));
    const peak = errors.reduce((a, b) => (Math.abs(b.trueA) > Math.abs(a.trueA) ? b : a));
    // The brush off in a throw: no current for a millisecond or more, between two stretches with one.
    const dropouts: (typeof errors)[number][] = [];
    for (let i = 1, from = 0; i < errors.length; i++) {
      const [was, is] = [i - 1, i].map((k) => inThrow[k] && Math.abs(errors[k]!.trueA) < 0.003);
      if (!was && is) from = i;
      if (was && !is && inThrow[i] && i - from >= 4)
        dropouts.push(nearest((errors[i]!.timeS + errors[from]!.timeS) / 2));
    }
    const told = [peak, ...dropouts].map(({ errorA }) => errorA);
    console.log(
      `seed ${SEED}: peak ${peak.trueA.toFixed(3)} A, ${dropouts.length} dropouts; errors, mA: ${told.map((a) => (1000 * a).toFixed(1)).join(' ')}`,
    );
    expect(Math.abs(peak.trueA)).toBeGreaterThan(0.8);
    expect(dropouts.length).toBeGreaterThan(5);
    for (const error of told) expect(Math.abs(error)).toBeLessThan(PLUS_MINUS_A);
    // Of all samples while nothing moves fast: rounding and the converter's noise, and no more.
    const quiet = errors.filter(
      ({ trueA }, i) =>
        i > 0 &&
        i < errors.length - 1 &&
        Math.abs(trueA - errors[i - 1]!.trueA) < 0.001 &&
        Math.abs(trueA - errors[i + 1]!.trueA) < 0.001,
    );
    const deviation = Math.sqrt(quiet.reduce((sum, { errorA }) => sum + errorA ** 2, 0) / quiet.length);
    const within = quiet.filter(({ errorA }) => Math.abs(errorA) < PLUS_MINUS_A).length / quiet.length;
    console.log(
      `${quiet.length} quiet samples: ${(1000 * deviation).toFixed(2)} mA, ${(100 * within).toFixed(1)} % within 12 mA`,
    );
    expect(deviation).toBeLessThan(0.0055);
    expect(within).toBeGreaterThan(0.95);

    const { nominalVoltageV } = small.motor;
    const running = (rig: ResolvedUnit['rig']) =>
      measure(capture, { nominalVoltageV, rig }).measured.forwardRunningCurrentA!;
    const fine = running({ ...small.rig, readFinely: ['motorCurrentA'] });
    const coarse = running(small.rig);
    expect(fine.value).toBeCloseTo(coarse.value, 2);
    expect(fine.standardUncertainty).toBeLessThan(coarse.standardUncertainty / 3);
    expect(fine.standardUncertainty).toBeGreaterThan(0.002);
  });
});

describe('a run of it', () => {
  const run = async (unit: ResolvedUnit, world?: World) => {
    const folder = mkdtempSync(join(tmpdir(), 'throwbench-fine-'));
    const store = openStore(folder);
    try {
      const virtual = world
        ? openEmulatedRig({ world, paced: false })
        : openVirtualRig({ unit, virtualCase: loadCase('roof-vent-good'), paced: false, seed: SEED });
      const events: BenchEvent[] = [];
      const judged: ResolvedUnit[] = [];
      await runUnit(
        { index: 0, tag: 'V-0101', unit, connect: () => connectionTo(virtual, unit.rig) },
        {
          store,
          desk: {
            prepare: async () => ({ timeS: new Float64Array(), lower: {}, upper: {} }),
            judge: async (own) => {
              judged.push(own);
              return { verdict: 'pass', sentence: 'All well.', checks: [], findings: [], measured: {} };
            },
            close: async () => {},
          },
          signal: new AbortController().signal,
          now: () => new Date('2026-05-04T08:00:00Z'),
        },
        (event) => events.push(event),
      );
      const troubles = events.flatMap((event) => (event.kind === 'trouble' ? [event] : []));
      const [kept] = store.listRuns({});
      const capture = kept && store.readCapture(kept.runId);
      return { troubles, readFinely: judged[0]?.rig.readFinely, rateHz: capture?.sampleRateHz };
    } finally {
      store.close();
      rmSync(folder, { recursive: true, force: true });
    }
  };

  it('is read finely, judged by that and kept so', async () => {
    expect(await run(small)).toEqual({ troubles: [], readFinely: ['motorCurrentA'], rateHz: 4000 });
  });

  it('goes on as ever on a rig without the amplifier, which is told', async () => {
    const { troubles, readFinely, rateHz } = await run(small, new World(() => 0));
    expect(troubles[0]).toMatchObject({
      code: 'coarse-current',
      sentence: expect.stringMatching(
        /^This rig reads the motor current in steps of 0\.078 A: its amplifier/,
      ),
    });
    expect({ readFinely, rateHz }).toEqual({ readFinely: undefined, rateHz: 5000 });
  });
});

describe('a current that leaves the finer scale', () => {
  const frameOf = (index: number, ampereAt: (slot: number) => number): Frame => {
    const counts = Uint16Array.from(SCAN, (letter, slot) => {
      const { atZeroCount, perCount } =
        letter === 'N' ? rigProfile.fineScales!.motorCurrentA : rigProfile.scales.motorCurrentA;
      if (letter !== 'N' && letter !== 'M') return 400;
      return Math.max(0, Math.min(1023, Math.round((ampereAt(slot) - atZeroCount) / perCount)));
    });
    return { number: index, position: 'rest', feed: 'off', mode: 'idle', sinceSlot: 0, counts };
  };
  const readOf = (ampereAt: (slot: number) => number): Float64Array => {
    const { scales, fineScales } = rigProfile;
    const grid = new UniformGrid({ scan: SCAN, frameS: 0.001, pointsPerFrame: 4, scales, fineScales });
    for (let index = 0; index < 8; index++)
      grid.add(
        frameOf(index, (slot) => ampereAt(18 * index + slot)),
        index,
      );
    return grid.take()!.channels.motorCurrentA!;
  };

  it('is read by the plain input beyond it, and never below the end of the finer one', () => {
    // 3 A, then 9 A backwards from slot 60 to 90, then 3 A again.
    const read = readOf((slot) => (slot >= 60 && slot < 90 ? -9 : 3));
    expect(Math.min(...read)).toBeCloseTo(-9, 0);
    for (const [i, value] of read.entries()) {
      const slot = (i * 18) / 4;
      if (slot > 66 && slot < 84) expect(value, `point ${i}`).toBeLessThan(-3.7);
      if (slot < 50 || slot > 100) expect(Math.abs(value - 3), `point ${i}`).toBeLessThan(FINE_A);
    }
  });

  it('shows a spike that no plain sample met as beyond the end', () => {
    const fineSlots = [...SCAN].flatMap((letter, slot) => (letter === 'N' ? [slot] : []));
    const at = 3 * 18 + fineSlots[1]!;
    expect(Math.max(...readOf((slot) => (slot === at ? 30 : 1)))).toBeGreaterThan(3);
  });
});

describe('a rig', () => {
  const opened: VirtualRig[] = [];
  afterEach(() => {
    for (const rig of opened.splice(0)) rig.close();
  });

  const ask = async (fine: (last: number) => number) => {
    const virtual = openEmulatedRig({ world: new World(fine), paced: false });
    opened.push(virtual);
    const rig = await connectRig({ port: virtual, clock: virtual.clock, rigProfile });
    const turned = await rig.readFinely!();
    const { sampleRateHz } = rig.facts;
    await rig.close();
    return { turned, sampleRateHz };
  };

  it('with the amplifier turns to it', async () => {
    expect(await ask(() => 512)).toEqual({ turned: { channels: ['motorCurrentA'] }, sampleRateHz: 4000 });
  });

  it.each([
    ['joined to ground', () => 0, '-4.00 A'],
    ['that nothing is joined to', (last: number) => last, '-2.60 A'],
  ])('whose input is one %s says so, and samples as before', async (_, fine, says) => {
    const { turned, sampleRateHz } = await ask(fine);
    expect(turned).toEqual({
      lack: `This rig reads the motor current in steps of 0.078 A: its amplifier for small ones is not there, or out of order. With all outputs off it says ${says}.`,
    });
    expect(sampleRateHz).toBe(5000);
  });
});
