// More throws than the plan asks for, and throws whose direction nothing tells, as other people's instruments bring them:
// of a healthy motor, integrated outside the program (tests/references/outside-motor.ts), none of them accuses anything.

import { describe, expect, it } from 'vitest';
import type { Capture } from '../../host/capture/index.js';
import { judgementText } from '../../host/commands/judgement-text.js';
import { diagnosisLibrary } from '../../host/diagnose/index.js';
import { asWitnessed, type Judgement, judge } from '../../host/judge/index.js';
import { measure } from '../../host/measure/index.js';
import { loadUnit } from '../../host/profile/index.js';
import { asSeen, type OutsideRun, outsideRun } from '../references/outside-motor.js';
import { expectationOf } from './known-expectations.js';

const SEED = 7013;
const unit = asWitnessed(loadUnit('window-lift-switch'), { positionKnown: false } as Capture);
const library = diagnosisLibrary(unit);

const told = (capture: Capture): Judgement =>
  judge({ unit, capture, expectation: expectationOf(unit, 40), library: () => library });

const cycles = (count: number, last = count): OutsideRun => ({
  throws: Array.from({ length: count }, (_, n): OutsideRun['throws'] => [
    [0.3 + 3 * n, 1.2 + 3 * n, 1],
    ...(n < last ? ([[1.8 + 3 * n, 2.7 + 3 * n, -1]] as const) : []),
  ]).flat(),
  lasts: 3 * count + 0.3,
  rateHz: 2000,
});
const current = (run: OutsideRun): Capture => asSeen(outsideRun(run), ['motorCurrentA'], { seed: SEED });
const feed = ({ channels, ...capture }: Capture): Capture => ({
  ...capture,
  channels: { feedCurrentA: (channels.motorCurrentA ?? new Float64Array()).map(Math.abs) },
});

const first = ({ findings }: Judgement): string => `${findings[0]?.id} ${findings[0]?.likelihood.toFixed(2)}`;

describe(`a healthy motor that was thrown more often than asked (noise ${SEED})`, () => {
  it.each([
    ['four times both ways', cycles(4)],
    ['three times forward and twice in reverse', cycles(3, 2)],
  ])('speaks for nothing being wrong, by its current alone: %s', (_words, run) => {
    const judged = told(current(run));
    expect(judged.verdict).toBe('cannot-tell');
    expect(first(judged), judged.sentence).toMatch(/^healthy/);
    const compared = judged.checks.filter(({ kind }) => kind.comparesWays);
    expect(compared.map(({ outcome }) => outcome)).not.toContain('not-tested');
  });
});

describe('one lead alone', () => {
  it('is not said to stay off: it tells no throw, and what would is asked for', () => {
    const run = asSeen(outsideRun(cycles(1)), ['leadAVoltageV'], { seed: SEED });
    const { verdict, sentence } = told(run);
    expect(verdict).toBe('cannot-tell');
    expect(sentence).toMatch(
      /^Nothing that was sampled tells the throws\. Sample the motor current too, or both leads\./,
    );
  });
});

describe('the feed current alone, which tells no direction', () => {
  const judged = told(feed(current(cycles(1))));

  it('takes no second throw for one that went the wrong way', () => {
    expect(first(judged), judged.sentence).toMatch(/^healthy/);
  });

  it('is held to no range of a rig that did not take it', () => {
    const { notes } = measure(feed(current(cycles(1))), { rig: unit.rig });
    expect(notes.filter((note) => /range/.test(note))).toEqual([]);
  });

  it('says that both throws are there, and asks for what tells which way they went', () => {
    const text = judgementText(judged);
    expect(text).toContain(
      '2 throws are in this capture, and nothing that was sampled tells which way each went.',
    );
    expect(text).not.toMatch(/Not seen in this capture|is not in this run|reverse thrown/);
    expect(judged.findings[0]?.nextProbe).toMatch(/^Repeat it with the motor current, lead A, lead B/);
  });
});
