// A current whose zero walks during a run: physics by hand. What was added to a current of the model comes off again, and a current
// that really flows at rest, or comes on with the feed, stays.

import { describe, expect, it } from 'vitest';
import type { Capture, Channel } from '../../host/capture/index.js';
import { nominalInput } from '../../host/circuit/index.js';
import { expectation, judge } from '../../host/judge/index.js';
import { measure, readingOf, runStretch } from '../../host/measure/index.js';
import { benchRun } from '../judge/bench.js';
import { plannedUnit } from '../profile/planned-unit.js';

const SEED = 19;
const UNIT = plannedUnit('entry-step-relays');
const EXPECTED = expectation(UNIT, { draws: 30 });
const { capture: GOOD } = benchRun(UNIT, nominalInput(UNIT), { seed: SEED });
const RUN_S = GOOD.timeS.at(-1) ?? 0;

const adding = (to: readonly Channel[], addedA: (timeS: number, i: number) => number): Capture => {
  const channels = { ...GOOD.channels };
  for (const channel of to)
    channels[channel] = (channels[channel] ?? new Float64Array()).map(
      (value, i) => value + addedA(GOOD.timeS[i] ?? 0, i),
    );
  return { ...GOOD, channels };
};
const readOf = (capture: Capture) =>
  measure(capture, { rig: UNIT.rig, nominalVoltageV: UNIT.motor.nominalVoltageV });
const runningA = (capture: Capture) =>
  readingOf(readOf(capture).measured, 'runningCurrentA', runStretch('full', 'reverse'));
const walked = (capture: Capture) => readOf(capture).notes.filter((note) => note.includes('walked'));

describe(`a zero that walks (model of the bench, seed ${SEED})`, () => {
  it.each([
    ['motorCurrentA', 0.6],
    ['motorCurrentA', -0.6],
    ['feedCurrentA', 0.6],
  ] as const)('is followed and told, and fails no good unit: %s by %f A', (channel, movedA) => {
    const capture = adding([channel], (timeS) => (movedA * timeS) / RUN_S);
    expect(walked(capture)).toHaveLength(1);
    expect(walked(capture)[0]).toMatch(/walked by -?0\.[56]\d A/);
    expect(judge({ unit: UNIT, capture, expectation: EXPECTED }).verdict).toBe('pass');
  });

  it('stays in the uncertainty as far as it does not walk evenly', () => {
    const bent = adding(['motorCurrentA'], (timeS) => 0.6 * Math.sqrt(timeS / RUN_S));
    const [plain, found] = [runningA(GOOD), runningA(bent)];
    expect(found?.standardUncertainty).toBeGreaterThan(1.2 * (plain?.standardUncertainty ?? 0));
    expect(Math.abs((found?.value ?? 0) - (plain?.value ?? 0))).toBeLessThan(0.05);
  });

  it('is none where nothing walks', () => {
    expect(walked(GOOD)).toEqual([]);
  });

  it.each([
    [
      'comes on with the full feed',
      ['feedCurrentA'],
      (_: number, i: number) => (GOOD.feed?.[i] === 'full' ? 0.4 : 0),
    ],
    ['flows in both currents', ['motorCurrentA', 'feedCurrentA'], (timeS: number) => (0.5 * timeS) / RUN_S],
  ] as const)('is no zero where it %s', (_, channels, addedA) => {
    expect(walked(adding(channels, addedA))).toEqual([]);
  });
});
