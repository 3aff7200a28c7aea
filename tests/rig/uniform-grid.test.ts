import { describe, expect, it } from 'vitest';
import { DEFAULT_SCAN, type Frame } from '../../firmware-protocol/index.js';
import { type Channel, RIG_CHANNELS } from '../../host/capture/index.js';
import { UniformGrid } from '../../host/rig/index.js';

const FRAME_S = 0.001;
const SLOT_S = FRAME_S / 18;
const CHANNEL_OF: Record<string, Channel> = {
  M: 'motorCurrentA',
  A: 'leadAVoltageV',
  B: 'leadBVoltageV',
  F: 'feedCurrentA',
  C: 'coilCurrentA',
  S: 'supplyVoltageV',
};
// One count is one unit, so that counts can be read as values.
const SCALES = Object.fromEntries(
  RIG_CHANNELS.map((channel) => [channel, { atZeroCount: 0, perCount: 1 }]),
) as Record<Channel, { atZeroCount: number; perCount: number }>;

const grid = (scales = SCALES) =>
  new UniformGrid({ scan: DEFAULT_SCAN, frameS: FRAME_S, pointsPerFrame: 5, scales });

function frame(
  index: number,
  countAt: (letter: string, timeS: number) => number,
  more: Partial<Frame> = {},
): Frame {
  const counts = Uint16Array.from(DEFAULT_SCAN, (letter, slot) =>
    Math.round(countAt(letter, index * FRAME_S + slot * SLOT_S)),
  );
  return { number: index, position: 'rest', feed: 'off', mode: 'idle', sinceSlot: 0, counts, ...more };
}

describe('uniform grid', () => {
  it('runs at 5 kHz from zero without holes, across block borders', () => {
    const g = grid();
    const times: number[] = [];
    for (let i = 0; i < 40; i++) {
      g.add(
        frame(i, () => 500),
        i,
      );
      if (i % 7 === 0) times.push(...(g.take()?.timeS ?? []));
    }
    times.push(...(g.take()?.timeS ?? []));
    expect(g.sampleRateHz).toBe(5000);
    expect(times.length).toBeGreaterThanOrEqual(5 * 39);
    times.forEach((timeS, i) => {
      expect(timeS).toBeCloseTo(i * 0.0002, 12);
    });
  });

  it('takes the skew out: a ramp comes back as a ramp in every channel, within half a count', () => {
    const g = grid();
    // 20 counts a millisecond; counts are whole, so half a count at either neighbour remains.
    const ramp = (_: string, timeS: number): number => 100 + 20_000 * timeS;
    for (let i = 0; i < 40; i++) g.add(frame(i, ramp), i);
    const block = g.take()!;
    expect(Object.keys(block.channels).sort()).toEqual([...RIG_CHANNELS].sort());
    for (const channel of RIG_CHANNELS) {
      block.channels[channel]!.forEach((value, i) => {
        // The first distance has no left neighbour and holds the first sample.
        if (block.timeS[i]! < FRAME_S) return;
        expect(Math.abs(value - ramp('', block.timeS[i]!))).toBeLessThanOrEqual(0.5 + 1e-9);
      });
    }
  });

  it('turns counts into readings with the scale of the rig profile', () => {
    const g = grid({ ...SCALES, motorCurrentA: { atZeroCount: -40, perCount: 0.078125 } });
    g.add(
      frame(0, () => 512),
      0,
    );
    g.add(
      frame(1, () => 640),
      1,
    );
    const motor = g.take()!.channels.motorCurrentA!;
    expect(motor[0]).toBe(0);
    expect(motor[5]).toBe(10);
  });

  it('shows nothing of a throw before the throw, in slow channels either', () => {
    const g = grid();
    const throwS = 3 * FRAME_S + 8.5 * SLOT_S;
    const step = (_: string, timeS: number): number => (timeS < throwS ? 100 : 900);
    for (let i = 0; i < 8; i++) {
      const at = i < 3 ? {} : { position: 'forward' as const, sinceSlot: i === 3 ? 9 : 0 };
      g.add(frame(i, step, at), i);
    }
    const block = g.take()!;
    let seen = 0;
    block.timeS.forEach((timeS, i) => {
      const isBefore = timeS < throwS - 1e-9;
      expect(block.position[i]).toBe(isBefore ? 'rest' : 'forward');
      for (const letter of 'MABFCS') {
        const value = block.channels[CHANNEL_OF[letter]!]![i]!;
        if (isBefore) expect(value, `${letter} at ${timeS}`).toBe(100);
        else seen = Math.max(seen, value);
      }
    });
    expect(seen).toBe(900);
  });

  it('gives NaN, never a guess, where a frame is missing, and nothing else', () => {
    const g = grid();
    const ramp = (_: string, timeS: number): number => 100 + 20_000 * timeS;
    for (const i of [0, 1, 2, 3, 5, 6, 7]) g.add(frame(i, ramp), i);
    const stretch = g.missingStretch(5, 1);
    const block = g.take()!;
    expect(stretch.fromS).toBeGreaterThan(3 * FRAME_S);
    expect(stretch.toS).toBeLessThan(6 * FRAME_S);
    let lost = 0;
    for (const channel of RIG_CHANNELS) {
      block.channels[channel]!.forEach((value, i) => {
        const timeS = block.timeS[i]!;
        const isInside = timeS > stretch.fromS - 1e-9 && timeS < stretch.toS + 1e-9;
        if (Number.isNaN(value)) {
          lost += 1;
          expect(isInside, `${channel} at ${timeS}`).toBe(true);
        } else if (timeS >= 4 * FRAME_S && timeS < 5 * FRAME_S) {
          throw new Error(`${channel} has a value at ${timeS} s, inside the lost frame`);
        }
      });
    }
    // Five points of each of six channels at least.
    expect(lost).toBeGreaterThanOrEqual(30);
  });

  it('does not bridge a lost frame either where the last and the first slot of a channel are close', () => {
    // F in the first and the last slot: one slot apart over the border, seventeen within the frame.
    const scan = 'FMABCSMABMABMABMAF';
    const g = new UniformGrid({ scan, frameS: FRAME_S, pointsPerFrame: 5, scales: SCALES });
    const counts = new Uint16Array(18).fill(300);
    for (const i of [0, 1, 3, 4])
      g.add({ number: i, position: 'rest', feed: 'off', mode: 'idle', sinceSlot: 0, counts }, i);
    const { timeS, channels } = g.take()!;
    timeS.forEach((atS, i) => {
      const isInside = atS > FRAME_S + 17 * SLOT_S + 1e-9 && atS < 3 * FRAME_S - 1e-9;
      expect(Number.isNaN(channels.feedCurrentA![i]!), `${atS}`).toBe(isInside);
    });
  });

  it('does not carry a value over a gap when the throw came inside it', () => {
    const g = grid();
    const at = { position: 'forward' as const };
    for (const i of [0, 1, 2])
      g.add(
        frame(i, () => 100),
        i,
      );
    for (const i of [10, 11, 12])
      g.add(
        frame(i, () => 900, at),
        i,
      );
    const block = g.take()!;
    block.timeS.forEach((timeS, i) => {
      for (const channel of RIG_CHANNELS) {
        const value = block.channels[channel]![i]!;
        expect(
          Number.isNaN(value) || value === (timeS < 0.005 ? 100 : 900),
          `${channel} at ${timeS}: ${value}`,
        ).toBe(true);
      }
    });
  });

  it('counts samples at the ends of the converter’s range', () => {
    // The feed's scale goes below zero; the coil's begins at zero and rests at count 0.
    const g = grid({ ...SCALES, feedCurrentA: { atZeroCount: -8, perCount: 1 } });
    g.add(
      frame(0, (letter) => (letter === 'M' ? 1023 : letter === 'F' || letter === 'C' ? 0 : 5)),
      0,
    );
    expect(g.clippedSamples).toBe(6);
  });
});
