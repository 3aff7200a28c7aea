// Throws told from the waveform alone. The closed forms know when the contacts closed and opened.

import { describe, expect, it } from 'vitest';
import type { Capture, Channel } from '../../host/capture/index.js';
import { isWayUntold, measure, stretchWords } from '../../host/measure/index.js';
import { itTakesLong } from '../mutation/long.js';
import { type BenchShape, CATALOGUE_MOTOR, closedFormCapture, RIG, throughConverter } from './closed-form.js';

const shape = (over: Partial<BenchShape> = {}): BenchShape => ({
  motor: CATALOGUE_MOTOR,
  supplyV: 13,
  feedOhm: 0.06,
  groundOhm: 0.03,
  release: 'brake-ground',
  sampleRateHz: 5000,
  delayS: 0.0083,
  ...over,
});

/** The capture as an instrument without positions gives it, with the channels named. */
function without(capture: Capture, channels: readonly Channel[]): Capture {
  return {
    ...capture,
    position: capture.position.map(() => 'rest'),
    positionKnown: false,
    channels: Object.fromEntries(channels.map((name) => [name, capture.channels[name]!])),
  };
}

const LEADS = ['leadAVoltageV', 'leadBVoltageV'] as const;
const SETS: Record<string, readonly Channel[]> = {
  'all channels': ['feedCurrentA', 'motorCurrentA', ...LEADS, 'supplyVoltageV'],
  'leads and motor current': ['motorCurrentA', ...LEADS],
  'leads only': LEADS,
  'motor current only': ['motorCurrentA'],
};

// Rest 0.5 s, throw 0.8 s, rest 0.5 s, throw 0.8 s, rest, each contact 8.3 ms behind its command.
const EDGES = [0.5083, 1.3083, 1.8083, 2.6083];

describe('throws without positions', () => {
  for (const [words, channels] of Object.entries(SETS)) {
    it.each(['coast', 'brake-ground', 'brake-high'] as const)(
      `are found within 0.6 ms in ${words}, release to %s (noise seed 71)`,
      (release) => {
        const noisy = throughConverter(closedFormCapture(shape({ release })), 71);
        const { segments, measured } = measure(without(noisy, channels), { rig: RIG, nominalVoltageV: 13 });
        expect(segments.map(({ of }) => of.id)).toEqual(['rest', 'forward', 'rest2', 'reverse', 'rest3']);
        segments.slice(1).forEach(({ fromS }, k) => {
          // Without the leads the current must first rise out of the noise, and it falls to a brake at once.
          const slackS = channels.includes('leadAVoltageV') ? 0.0006 : 0.0012;
          expect(Math.abs(fromS - EDGES[k]!), `edge ${k} at ${fromS}`).toBeLessThan(slackS);
        });
        expect(measured.forwardContactDelayS).toBeUndefined();
      },
    );
  }

  it('give the same numbers as with positions, where the contact alone sets the stretch', () => {
    const capture = throughConverter(closedFormCapture(shape()), 72);
    const told = measure(capture, { rig: RIG }).measured;
    const seen = measure(without(capture, SETS['all channels']!), { rig: RIG }).measured;
    for (const name of [
      'forwardInrushPeakA',
      'reverseInrushPeakA',
      'forwardRunningCurrentA',
      'forwardFeedDropV',
    ]) {
      expect(Math.abs(seen[name]!.value - told[name]!.value), name).toBeLessThan(
        0.5 * told[name]!.expandedUncertainty,
      );
    }
    const { segments } = measure(without(capture, SETS['all channels']!), { rig: RIG });
    expect(segments.map(({ release }) => release)).toEqual([
      undefined,
      'brake-ground',
      undefined,
      'brake-ground',
      undefined,
    ]);
  });

  it('of a hand-thrown switch are found although the file says rest throughout', () => {
    const capture = throughConverter(closedFormCapture(shape()), 73);
    const rest: Capture = { ...capture, position: capture.position.map(() => 'rest') };
    expect(measure(rest, { rig: RIG }).measured.forwardRunningCurrentA).toBeUndefined();
    const { measured } = measure(rest, { rig: RIG, thrownByHand: true });
    expect(measured.forwardRunningCurrentA).toBeDefined();
    expect(measured.reverseRunningCurrentA).toBeDefined();
  });

  it('in a clamp meter without sign all go one way; its zero error does not hide the rest', () => {
    const capture = closedFormCapture(shape({ release: 'coast' }));
    capture.channels.motorCurrentA = capture.channels.motorCurrentA!.map((value) => Math.abs(value) + 0.2);
    const noisy = throughConverter(capture, 74);
    const { segments } = measure(without(noisy, ['motorCurrentA']));
    expect(segments.map(({ of }) => of.id)).toEqual(['rest', 'forward', 'rest2', 'forward2', 'rest3']);
    expect(segments.map(({ of }) => stretchWords(of)).slice(0, 2)).toEqual([
      'at rest',
      'throw 1 (direction not told)',
    ]);
    const { notes, measured } = measure(
      without(throughConverter(closedFormCapture(shape()), 74), ['feedCurrentA']),
    );
    expect(notes).toContainEqual(expect.stringMatching(/^Direction not told: the feed current/));
    expect(isWayUntold(measured)).toBe(true);
    expect(measured.forward2RunningCurrentA).toBeDefined();
  });

  it('in a clamp with sign, or between sampled leads, are told as forward and reverse', () => {
    for (const channels of [['motorCurrentA'], ['leadAVoltageV', 'leadBVoltageV']] as const) {
      const { measured, notes } = measure(
        without(throughConverter(closedFormCapture(shape()), 74), [...channels]),
      );
      expect(isWayUntold(measured)).toBe(false);
      expect(notes.filter((note) => note.startsWith('Direction'))).toEqual([]);
    }
  });

  itTakesLong.each([1000, 5000, 100000])(
    'survive spike and bounce at %i samples a second',
    (sampleRateHz) => {
      const s = shape({
        sampleRateHz,
        spikeA: 40,
        bounce: [
          [0.0012, 0.0019],
          [0.0031, 0.0036],
        ],
      });
      for (const channels of Object.values(SETS)) {
        const { segments } = measure(without(throughConverter(closedFormCapture(s), 75), channels));
        expect(segments.map(({ of }) => of.id)).toEqual(['rest', 'forward', 'rest2', 'reverse', 'rest3']);
      }
    },
  );

  it('survive lost samples in a throw, and a contact that closed in the gap tells no inrush', () => {
    const capture = throughConverter(closedFormCapture(shape()), 76);
    for (const values of Object.values(capture.channels)) {
      values.fill(Number.NaN, 0.9 * 5000, 0.92 * 5000);
      values.fill(Number.NaN, 1.8 * 5000, 1.815 * 5000);
    }
    const { segments, measured } = measure(without(capture, SETS['all channels']!), { rig: RIG });
    expect(segments.map(({ of }) => of.id)).toEqual(['rest', 'forward', 'rest2', 'reverse', 'rest3']);
    expect(measured.forwardInrushPeakA).toBeDefined();
    expect(measured.reverseInrushPeakA).toBeUndefined();
    expect(measured.reverseRunningCurrentA).toBeDefined();
  });

  it('need no uniform time grid (times jittered by a third of a step)', () => {
    const capture = throughConverter(closedFormCapture(shape()), 77);
    const timeS = capture.timeS.map((t, k) => t + (k % 3 === 1 ? 0.33 : 0) * 0.0002);
    const { segments } = measure({ ...without(capture, SETS['all channels']!), timeS, sampleRateHz: 0 });
    for (const [k, { fromS }] of segments.slice(1).entries())
      expect(Math.abs(fromS - EDGES[k]!)).toBeLessThan(0.0008);
  });

  it('are found when the capture begins in mid-throw, which then has no inrush', () => {
    const capture = throughConverter(closedFormCapture(shape()), 78);
    const from = 0.9 * 5000;
    const cut: Capture = {
      ...without(capture, SETS['all channels']!),
      timeS: capture.timeS.slice(from),
      position: capture.position.slice(from).map(() => 'rest'),
    };
    for (const name of SETS['all channels']!) cut.channels[name] = capture.channels[name]!.slice(from);
    const { segments, measured } = measure(cut, { rig: RIG });
    expect(segments.map(({ of }) => of.id)).toEqual(['forward', 'rest', 'reverse', 'rest2']);
    expect(measured.forwardInrushPeakA).toBeUndefined();
    expect(measured.forwardRunningCurrentA).toBeDefined();
    expect(measured.reverseInrushPeakA).toBeDefined();
  });

  it('are none where nothing was thrown (noise only, seeds 81 to 90)', () => {
    for (let seed = 81; seed <= 90; seed++) {
      const still = closedFormCapture(shape());
      for (const [name, values] of Object.entries(still.channels))
        if (name !== 'supplyVoltageV') values.fill(0);
      for (const channels of Object.values(SETS)) {
        const { segments } = measure(without(throughConverter(still, seed), channels), {
          rig: RIG,
          nominalVoltageV: 13,
        });
        expect(
          segments.map(({ of }) => of.id),
          `seed ${seed}, ${channels.join()}`,
        ).toEqual(['rest']);
      }
    }
  });
});
