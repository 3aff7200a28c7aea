// The course of a throw against the band of good units, and the ripples of one turn: what a good unit passes and what
// no single reading shows is failed.

import { describe, expect, it } from 'vitest';
import type { Capture } from '../../host/capture/index.js';
import { drawInput, seededRandom } from '../../host/circuit/index.js';
import { type Expectation, expectation, judge } from '../../host/judge/index.js';
import { loadUnit } from '../../host/profile/index.js';
import { benchRun } from './bench.js';

const UNIT = loadUnit('roof-vent-switch');
const SEED = 83;
const expected: Expectation = expectation(UNIT, { draws: 40 });
const good = benchRun(UNIT, drawInput(UNIT, seededRandom(SEED)), { seed: SEED });
const courseOf = (capture: Capture, throwName: string) =>
  judge({ unit: UNIT, capture, expectation: expected }).checks.find(
    ({ id }) => id === `envelope-${throwName}`,
  )!;

/** The capture with `channel` changed over [fromS, toS) of its first full-feed forward throw. */
function changed(
  channel: 'motorCurrentA' | 'leadBVoltageV',
  fromS: number,
  toS: number,
  by: number,
): Capture {
  const { capture } = good;
  const start = capture.position.findIndex((word, i) => word === 'forward' && capture.feed![i] === 'full');
  const values = capture.channels[channel]!.slice();
  const at = (s: number): number => start + Math.round(s * capture.sampleRateHz);
  for (let i = at(fromS); i < at(toS); i++) values[i]! += by;
  return { ...capture, channels: { ...capture.channels, [channel]: values } };
}

describe(`the course of a throw (seed ${SEED})`, () => {
  it('of a good unit lies in the band, both ways', () => {
    for (const name of ['forward', 'reverse']) {
      const check = courseOf(good.capture, name);
      expect(check.outcome, check.sentence).toBe('pass');
      expect(check.value).toBe(0);
    }
  });

  it('fails for a current that swells for a tenth of the throw and is back for its running level', () => {
    const check = courseOf(changed('motorCurrentA', 0.2, 0.3, 2), 'forward');
    expect(check.outcome, check.sentence).toBe('fail');
    expect(check.sentence).toContain('motor current');
    // 0.1 s of the 0.876 s between the edges.
    expect(check.value).toBeCloseTo(11.4, 0);
  });

  it('names the lead that lifts, and leaves a few milliseconds to contacts', () => {
    expect(courseOf(changed('leadBVoltageV', 0.2, 0.3, 1.5), 'forward').sentence).toContain('lead B');
    expect(courseOf(changed('leadBVoltageV', 0.2, 0.22, 1.5), 'forward').outcome).toBe('pass');
  });
});
