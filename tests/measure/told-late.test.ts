// Positions that a table tells later than its motor starts. The motor is integrated outside the program by the textbook
// equations (tests/references/outside-motor.ts); a cause does not follow its effect.

import { describe, expect, it } from 'vitest';
import type { Capture, Position } from '../../host/capture/index.js';
import { measure, REST, readingOf, runStretch } from '../../host/measure/index.js';
import { asSeen, type OutsideRun, outsideRun } from '../references/outside-motor.js';

const THROWS: OutsideRun['throws'] = [
  [0.3, 1.2, 1],
  [1.9, 2.8, -1],
];
const seen = asSeen(
  outsideRun({ throws: THROWS, lasts: 3.4 }),
  ['motorCurrentA', 'leadAVoltageV', 'leadBVoltageV', 'supplyVoltageV'],
  { seed: 4409 },
);

function told(startLateS: number, endLateS = startLateS): Capture {
  const { positionKnown: _, ...capture } = seen;
  const at = (t: number): Position => {
    const [, , way] = THROWS.find(([from, to]) => t >= from + startLateS && t < to + endLateS) ?? [];
    return way === undefined ? 'rest' : way > 0 ? 'forward' : 'reverse';
  };
  return { ...capture, position: Array.from(seen.timeS, at) };
}

const FORWARD = runStretch('full', 'forward');
const startA = (capture: Capture): number | undefined =>
  readingOf(measure(capture).measured, 'inrushPeakA', FORWARD)?.value;
const trueA = startA(seen) ?? Number.NaN;

describe('positions that are told 50 ms late', () => {
  const late = measure(told(0.05));

  it('give way to the waveform, and it is said by how much', () => {
    expect(late.notes).toContain('The positions in the file come 50 ms later than what they set off.');
    expect(late.toldLateS).toBeCloseTo(0.05, 3);
    expect(late.notes).toContain('Throws were told from the waveform.');
  });

  it('leave start, rest and speed of the run as they were', () => {
    expect(startA(told(0.05))).toBeCloseTo(trueA, 6);
    expect(Math.abs(readingOf(late.measured, 'motorCurrentA', REST)?.value ?? 9)).toBeLessThan(0.02);
  });
});

describe('positions that are told in time, or before the contact closes', () => {
  it.each([0, -0.05])('are held to: %d s', (lateS) => {
    const read = measure(told(lateS));
    expect(read.notes.filter((note) => /waveform|later than/.test(note))).toEqual([]);
    expect(startA(told(lateS))).toBeCloseTo(trueA, 1);
  });
});

it('a motor that is driven before its throw and lets go in time is not taken for a late table', () => {
  expect(measure(told(0.05, 0)).notes.filter((note) => /waveform|later than/.test(note))).toEqual([]);
});
