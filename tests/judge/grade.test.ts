// A motor without a sheet: graded, never passed; what fails on any motor fails with its cause. Motors of four families are
// hidden from the judging, which is told "unknown" of each.

import { describe, expect, it } from 'vitest';
import { drawInput, seededRandom, type UnitCircuitInput } from '../../host/circuit/index.js';
import { type Judgement, judge, judgementJson } from '../../host/judge/index.js';
import { loadUnit, plainValues, type ResolvedUnit } from '../../host/profile/index.js';
import { judgementRecord } from '../../host/records/index.js';
import { withFaults } from '../circuit/with-faults.js';
import { benchRun } from './bench.js';
import { expectationOf } from './known-expectations.js';

const SEED = 6300;
/** Alone on the rig's own links: nothing but the motor is on the bench. */
const ALONE: ResolvedUnit = loadUnit('window-lift-alone', undefined, { motor: 'unknown' });

function judged(motor: string, edit: Partial<UnitCircuitInput> = {}, fault?: string): Judgement {
  const hidden = loadUnit('window-lift-alone', undefined, { motor });
  const drawn = {
    ...drawInput({ ...hidden, motor: { ...hidden.motor, origin: 'learned' } }, seededRandom(SEED)),
  };
  const { capture, stop } = benchRun(
    ALONE,
    withFaults({ ...drawn, ...edit }, ...(fault === undefined ? [] : [fault])),
    { seed: SEED },
  );
  return judge({ unit: ALONE, capture, expectation: expectationOf(ALONE, 30), stop });
}

describe(`a motor that nobody has a sheet of, seed ${SEED}`, () => {
  it.each([
    ['window-lift', 'window lift'],
    ['seat-slide', 'seat slide'],
    ['roof-vent', 'roof vent'],
    ['entry-step', 'entry step'],
  ])('is graded good when it is, never passed, and told to be like its family: %s', (motor, family) => {
    const run = judged(motor);
    expect(run.grade?.grade, JSON.stringify(run.grade?.reasons)).toBe('good');
    expect(run.verdict).toBe('cannot-tell');
    expect(run.grade?.resembles).toContain(family);
    expect(run.sentence).toMatch(/^Grade good\./);
    // No check passes by what a current is in itself.
    expect(
      run.checks.filter(({ kind, outcome }) => kind.usual !== undefined && outcome.endsWith('pass')),
    ).toEqual([]);
  });

  it('has its numbers told with their uncertainty, in JSON and in the record', () => {
    const run = judged('window-lift');
    const { grade } = judgementJson(run);
    const truth = plainValues(loadUnit('window-lift-alone').motor);
    const resistance = grade?.motor?.resistanceOhm;
    // Copper within its tolerance of 10 % and the spread of the ambient.
    expect(resistance?.value).toBeGreaterThan(0.8 * truth.resistanceOhm);
    expect(resistance?.value).toBeLessThan(1.25 * truth.resistanceOhm);
    expect(resistance?.expandedUncertainty).toBeGreaterThan(0);
    expect(judgementRecord(run).grade).toEqual(grade);
  });

  it.each(['motor-shorted', 'motor-open', 'motor-rotor-locked'])('fails with its cause: %s', (fault) => {
    const run = judged('window-lift', {}, fault);
    expect(run.verdict, run.sentence).not.toBe('pass');
    expect(run.grade?.grade).not.toBe('good');
    expect(run.grade?.grade).not.toBe('fair');
  });

  it('fails a motor whose current drops out, and grades it poor', () => {
    const input = drawInput(
      {
        ...loadUnit('window-lift-alone'),
        motor: { ...loadUnit('window-lift-alone').motor, origin: 'learned' },
      },
      seededRandom(SEED),
    );
    const { capture, stop } = benchRun(ALONE, input, {
      seed: SEED,
      dropouts: { perS: 12, lengthS: 0.004 },
    });
    const run = judge({ unit: ALONE, capture, expectation: expectationOf(ALONE, 30), stop });
    expect([run.verdict, run.grade?.grade]).toEqual(['fail', 'poor']);
    expect(run.findings[0]?.sentence).toMatch(/brush/i);
  });
});
