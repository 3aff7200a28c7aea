// Lowest and highest of the draws on a grid of 2 ms, channel by channel. Nothing is simulated here: what would be is
// written down.

import { afterAll, beforeEach, describe, expect, it, vi } from 'vitest';
import type { Capture } from '../../host/capture/index.js';
import { type Band, Draws } from '../../host/circuit/draws.js';
import * as plans from '../../host/circuit/tolerance-plan.js';
import { captureOf, shipped } from '../judge/handmade.js';

// Put in place while these tests run, and taken away behind it: files share their modules.
const simulated = vi.spyOn(plans, 'simulatePlan');
afterAll(() => simulated.mockRestore());
beforeEach(() => {
  simulated.mockReset();
});

const UNIT = shipped('entry-step-relays');
type Course = number | ((atS: number) => number);
/** 0.4 ms apart as the draws are, five to a cell. */
const run = (value: Course, durationS = 0.01, rateHz = 2500): Capture =>
  captureOf([{ position: 'rest', durationS, channels: { leadAVoltageV: value } }], rateHz);
/** One draw for each of `captures`, none of them done yet. */
function drawing(...captures: readonly Capture[]): Draws {
  for (const capture of captures) simulated.mockReturnValueOnce(capture);
  return new Draws(UNIT, { draws: captures.length });
}
const bandOf = (...values: readonly Course[]): Band => drawing(...values.map((value) => run(value))).finish();
const rounded = (values: Float64Array | undefined): number[] =>
  [...(values ?? [])].map((value) => Number(value.toFixed(3)));

describe('the draws', () => {
  it('are as many as the profile says, at half the rig’s rate, unless told otherwise', () => {
    expect(new Draws(UNIT).options).toEqual({ seed: 20200901, draws: 80, sampleRateHz: 2500 });
    const told = { seed: 0, draws: 3, sampleRateHz: 5000 };
    expect(new Draws(UNIT, told).options).toEqual(told);
    expect(new Draws(UNIT, told).count).toBe(3);
  });

  it('are each the capture of their own input', () => {
    const [first, second] = [run(1), run(2)];
    const work = drawing(first, second);
    expect(work.isComplete).toBe(false);
    expect([work.do(0), work.do(1)]).toEqual([first, second]);
    expect(work.isComplete).toBe(true);
    expect(simulated.mock.calls.map(([input]) => input)).toEqual([work.input(0), work.input(1)]);
    expect(work.input(0)).not.toEqual(work.input(1));
  });

  it('are done once', () => {
    const work = drawing(run(1), run(2));
    work.do(1);
    work.finish();
    work.finish();
    expect(simulated).toHaveBeenCalledTimes(2);
  });
});

describe('a band', () => {
  it('is as long as its run, with the channels that the run has', () => {
    const { timeS, lower, upper } = bandOf(0);
    expect([...timeS]).toEqual([0, 0.002, 0.004, 0.006, 0.008]);
    expect(Object.keys(lower)).toEqual(['leadAVoltageV']);
    expect(Object.keys(upper)).toEqual(['leadAVoltageV']);
  });

  it('of no draw is empty', () => {
    expect(drawing().finish()).toEqual({ timeS: new Float64Array(0), lower: {}, upper: {} });
  });

  it('takes the lowest and the highest of every draw', () => {
    const { lower, upper } = bandOf(3, 1, 2);
    expect(rounded(lower.leadAVoltageV)).toEqual([1, 1, 1, 1, 1]);
    expect(rounded(upper.leadAVoltageV)).toEqual([3, 3, 3, 3, 3]);
  });

  it('has each sample in the cell that it falls into', () => {
    const { lower, upper } = bandOf((atS) => 1000 * atS);
    expect(rounded(lower.leadAVoltageV)).toEqual([0, 2, 4, 6, 8]);
    expect(rounded(upper.leadAVoltageV)).toEqual([1.6, 3.6, 5.6, 7.6, 9.6]);
  });

  it('has no number where no sample fell', () => {
    // One sample in 5 ms.
    const { lower, upper } = drawing(run(4, 0.01, 200)).finish();
    for (const side of [lower, upper]) expect([...(side.leadAVoltageV ?? [])]).toEqual([4, Number.NaN, 4]);
  });
});

describe('a share of the draws', () => {
  it('of nothing has no band', () => {
    expect(new Draws(UNIT, { draws: 1 }).share()).toStrictEqual({ done: [] });
  });

  it('widens the band of who takes it over, and its draws are not done again', () => {
    const [here, there] = [
      drawing(
        run((atS) => (atS < 0.004 ? 1 : 5)),
        run(0),
      ),
      new Draws(UNIT, { draws: 2 }),
    ];
    here.do(0);
    simulated.mockReset();
    simulated.mockReturnValueOnce(run((atS) => (atS < 0.004 ? 3 : 2)));
    there.do(1);
    here.add(there.share());
    const { lower, upper } = here.finish();
    expect(simulated).toHaveBeenCalledTimes(1);
    expect(rounded(lower.leadAVoltageV)).toEqual([1, 1, 2, 2, 2]);
    expect(rounded(upper.leadAVoltageV)).toEqual([3, 3, 5, 5, 5]);
  });

  it('needs both sides of a channel', () => {
    const whole = bandOf(3);
    for (const half of [
      { ...whole, upper: {} },
      { ...whole, lower: {} },
    ]) {
      const work = new Draws(UNIT, { draws: 1 });
      work.add({ done: [0], band: half });
      expect(work.finish()).toEqual({ timeS: whole.timeS, lower: {}, upper: {} });
    }
  });

  it('without a band says only which are done', () => {
    const work = new Draws(UNIT, { draws: 1 });
    work.add({ done: [0] });
    expect(work.isComplete).toBe(true);
    expect(work.share()).toStrictEqual({ done: [0] });
  });
});
