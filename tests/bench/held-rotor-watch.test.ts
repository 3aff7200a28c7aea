// A throw that meets a rotor which does not turn ends by itself; one that starts, runs tight or drives a known load does not.

import { describe, expect, it } from 'vitest';
import { HeldRotorWatch } from '../../host/bench/held-rotor-watch.js';
import type { Position } from '../../host/capture/index.js';
import { judge } from '../../host/judge/index.js';
import { caseSchema, loadUnit } from '../../host/profile/index.js';
import type { SampleBlock } from '../../host/rig/index.js';
import { runOnBench } from '../accuracy/bench-run.js';
import { expectationOf } from '../judge/known-expectations.js';

const SEED = 61;
const unit = loadUnit('entry-step-relays');
const caseOf = (given: object) =>
  caseSchema.parse({ id: 'x', title: 'x', kind: 'case', seed: SEED, ...given });

/** How long each full-feed throw lasted, s. */
async function throwsOf(given: object, truth = 'any') {
  const run = await runOnBench({ unit, truth, virtualCase: caseOf(given), seed: SEED });
  const { timeS, position, feed } = run.capture;
  const lasted: number[] = [];
  for (let k = 1; k < timeS.length; k++) {
    if (position[k] === 'rest' || feed?.[k] !== 'full') continue;
    if (position[k - 1] !== position[k]) lasted.push(0);
    else lasted[lasted.length - 1]! += timeS[k]! - timeS[k - 1]!;
  }
  return { run, lasted };
}

describe(`a rotor that does not turn (virtual bench, seed ${SEED})`, () => {
  it('is let go within four tenths of a second, sooner the other way, and still told', {
    timeout: 60_000,
  }, async () => {
    const { run, lasted } = await throwsOf({ faults: ['motor-rotor-locked'] });
    expect(run.stop).toBeUndefined();
    expect(lasted).toHaveLength(2);
    expect(lasted[0]).toBeGreaterThan(0.25);
    expect(lasted[0]).toBeLessThan(0.4);
    expect(lasted[1]).toBeGreaterThan(0.15);
    expect(lasted[1]).toBeLessThan(0.27);
    const judgement = judge({ unit, capture: run.capture, expectation: expectationOf(unit) });
    expect(judgement.verdict).toBe('fail');
    expect(judgement.findings[0]!.id).toBe('motor-rotor-locked');
  });

  // Sizes of what a used motor and a workshop may have: common practice, no source.
  it.each([
    ['a good motor', {}],
    ['a bound gearbox that still turns', { motorScale: { coulombNm: 3.5, viscousNms: 1.8 } }],
    ['a cold motor on a low battery', { temperatureC: 0, supply: { voltageV: 11 } }],
    ['weak magnets', { motorScale: { backEmfVsPerRad: 0.55, torqueNmPerA: 0.55 } }],
    ['a winding shorted in part', { motorScale: { resistanceOhm: 0.65, inductanceH: 0.65 } }],
  ])('leaves %s its whole throw', async (_, given) => {
    const { lasted } = await throwsOf(given);
    expect(lasted).toHaveLength(2);
    for (const seconds of lasted) expect(seconds).toBeGreaterThan(0.85);
  });
});

describe('the watch', () => {
  const step = { position: 'forward', feed: 'full', durationS: 0.9 } as const;
  const block = (value: (timeS: number) => number): SampleBlock => {
    const timeS = Float64Array.from({ length: 4000 }, (_, k) => k / 5000);
    const position = new Array<Position>(timeS.length).fill('forward');
    return { timeS, position, channels: { motorCurrentA: timeS.map(value) } };
  };
  const seen = (value: (timeS: number) => number, given: object = {}, of = unit): boolean => {
    const watch = new HeldRotorWatch(of);
    watch.start({ ...step, ...given });
    watch.add(block(value));
    return watch.isOver;
  };

  it('sees a current that stands, of either sign, and nothing under an ampere', () => {
    expect(seen(() => 18)).toBe(true);
    expect(seen(() => -18)).toBe(true);
    expect(seen(() => 0.6)).toBe(false);
    expect(seen((t) => 5 + 12 * Math.exp(-t / 0.05))).toBe(false);
  });

  it('looks away once the rotor has turned: what stops it then is an end of travel', () => {
    expect(seen((t) => (t < 0.5 ? 5 + 12 * Math.exp(-t / 0.05) : 17))).toBe(false);
  });

  it('does not take a known load for a rotor', () => {
    expect(seen(() => 6.5, {}, loadUnit('relay-pair-harness-load'))).toBe(false);
  });

  it('looks away where the plan holds the rotor, at rest, and through the limited feed', () => {
    expect(seen(() => 18, { heldRotor: true })).toBe(false);
    expect(seen(() => 18, { position: 'rest' })).toBe(false);
    expect(seen(() => 18, { feed: 'limited' })).toBe(false);
  });
});
