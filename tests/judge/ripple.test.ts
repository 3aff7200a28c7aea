// Ripples of one turn and the speed that they tell, through the virtual bench with its noise: what must be found of an
// armature, and what must not be accused. How a bad segment shows (deep modulation once or twice a turn, resistance up
// to double) and the sizes chosen here are common practice, no source.

import { describe, expect, it } from 'vitest';
import { nominalInput, simulatePlan } from '../../host/circuit/index.js';
import { type Judgement, judge } from '../../host/judge/index.js';
import { caseSchema, type ResolvedUnit, ripplesPerTurn } from '../../host/profile/index.js';
import { runDirectly } from '../accuracy/direct-run.js';
import { knownUnit } from '../profile/known-unit.js';
import { expectationOf } from './known-expectations.js';

const SEED = 71;
const UNIT = knownUnit('window-lift-switch');
const expected = expectationOf(UNIT);

const TURN = (segments: number, amplitude: number): ResolvedUnit => ({
  ...UNIT,
  motor: { ...UNIT.motor, ripple: { segments, amplitude } },
});

function judged(given: object, seed = SEED, unit = UNIT, profile = expected): Judgement {
  const virtualCase = caseSchema.parse({ id: 'any', title: 'Any', kind: 'case', seed, ...given });
  const run = runDirectly({ unit, truth: 'any', virtualCase, seed });
  return judge({ unit, ...run, expectation: profile });
}
const outcomes = ({ checks }: Judgement, kind: RegExp): string[] =>
  checks.filter(({ id }) => kind.test(id)).map(({ outcome }) => outcome);
const EVEN = /^ripple-(?:forward|reverse)$/;
const SPEED = /^ripple-speed-/;

describe(`a motor whose profile tells eight segments (seed ${SEED})`, () => {
  it.each([
    // 0 to 40 C and 11 to 14.5 V: an unheated workshop, a low and a charging battery (common practice, no source).
    ['cold on a low battery', { temperatureC: 0, supply: { voltageV: 11 } }],
    ['at 20 C', { temperatureC: 20 }],
    ['hot on a charging one', { temperatureC: 40, supply: { voltageV: 14.5 } }],
  ])('passes even ripples and its speed when it is good, %s', (_, given) => {
    for (const seed of [SEED, SEED + 1, SEED + 2]) {
      const judgement = judged(given, seed);
      expect(judgement.verdict, judgement.sentence).toBe('pass');
      expect(outcomes(judgement, EVEN)).toEqual(['pass', 'pass']);
      expect(outcomes(judgement, SPEED)).toEqual(['pass', 'pass']);
    }
  });

  it.each([
    ['a burnt segment, three times the resistance', { kind: 'open', resistanceFactor: 3, widthTurns: 1 / 8 }],
    ['a worn segment, half as much again', { kind: 'open', resistanceFactor: 1.5, widthTurns: 1 / 8 }],
    ['an open coil, twice for half a turn', { kind: 'open', resistanceFactor: 2, widthTurns: 0.5 }],
    ['two segments shorted together', { kind: 'shorted', resistanceFactor: 0.95, widthTurns: 1 / 8 }],
  ])('fails for %s, and names the armature first', (_, segmentFault) => {
    for (const seed of [SEED, SEED + 1]) {
      const judgement = judged({ segmentFault }, seed);
      expect(judgement.verdict).toBe('fail');
      expect(outcomes(judgement, EVEN)).toEqual(['fail', 'fail']);
      // The shaft's own rate is not taken for the ripple.
      expect(outcomes(judgement, SPEED)).toEqual(['pass', 'pass']);
      expect(judgement.findings[0]!.id).toBe('motor-segment-bad');
      expect(judgement.findings[0]!.proof?.[0]).toMatch(
        /^Ripples of a turn, forward: .+, a good unit none\.$/,
      );
    }
  });

  it('proves worn brushes by the moments without current, as many as were counted', () => {
    const wornBrushes = { extraResistanceOhm: 0.5, dropoutsPerS: 15, dropoutS: 0.004 };
    const { measured, findings } = judged({ wornBrushes });
    const most = Math.max(measured.forwardDropoutsMotorSide!.value, measured.reverseDropoutsMotorSide!.value);
    expect(most).toBeGreaterThan(0);
    expect(findings[0]!.id).toBe('motor-brushes-worn');
    expect(findings[0]!.proof?.[0]).toMatch(
      new RegExp(
        `^Current gone for moments, (forward|reverse): ${most} times? with the leads at their voltage`,
      ),
    );
  });

  it('fails for a speed that weak magnets make too high, with even ripples', () => {
    const judgement = judged({ motorScale: { backEmfVsPerRad: 0.7, torqueNmPerA: 0.7 } });
    expect(outcomes(judgement, EVEN)).toEqual(['pass', 'pass']);
    expect(outcomes(judgement, SPEED)).toEqual(['fail', 'fail']);
    expect(judgement.findings[0]!.id).toBe('motor-magnets-weak');
  });

  it.each([
    ['a bound gearbox', { motorScale: { coulombNm: 2.5 } }],
    ['worn brushes that do not drop out', { faults: ['motor-brushes-worn'] }],
    ['a joint in the ground wire', { faults: ['ground-resistance'] }],
  ])('does not accuse the armature of %s', (_, given) => {
    const judgement = judged(given);
    expect(outcomes(judgement, EVEN)).not.toContain('fail');
    expect(judgement.findings[0]?.id).not.toBe('motor-segment-bad');
  });
});

describe(`a ripple within the noise (seed ${SEED})`, () => {
  it('is told "not tested" and keeps no good motor from passing', () => {
    const unit = TURN(14, 0.002);
    const judgement = judged({}, SEED, unit, expectationOf(unit, 40));
    expect(outcomes(judgement, EVEN)).toEqual(['not-tested', 'not-tested']);
    expect(judgement.verdict, judgement.sentence).toBe('pass');
  });
});

describe('the speed of the model', () => {
  it('of the expectation is the one that the solver turns the shaft with', () => {
    const input = nominalInput(UNIT);
    const capture = simulatePlan(input, UNIT.plan, { sampleRateHz: 20_000 });
    const current = capture.channels.motorCurrentA!;
    // Ripples counted by hand over the last 0.3 s of the forward throw: rising passages of the mean.
    const end = capture.position.lastIndexOf('forward');
    const from = end - 6000;
    const mean = current.subarray(from, end).reduce((sum, value) => sum + value / 6000, 0);
    const rising: number[] = [];
    for (let i = from; i < end; i++)
      if (current[i]! < mean && current[i + 1]! >= mean)
        rising.push(i + (mean - current[i]!) / (current[i + 1]! - current[i]!));
    const perS = ((rising.length - 1) * 20_000) / (rising.at(-1)! - rising[0]!);
    if (expected.kind !== 'unit') throw new Error('no unit');
    const modelled = expected.features.forwardSpeedRpm!.nominal;
    expect(modelled / ((60 * perS) / ripplesPerTurn(8))).toBeCloseTo(1, 2);
  });

  it('of an odd number of segments comes from twice as many ripples', () => {
    // Seven segments under two brushes: fourteen commutations a turn (a rule widely stated for ripple counting).
    const unit = TURN(7, 0.03);
    const judgement = judged({}, SEED, unit, expectationOf(unit, 40));
    const { forwardRippleHz, forwardSpeedRpm } = judgement.measured;
    expect(forwardRippleHz!.value / (forwardSpeedRpm!.value / 60)).toBeCloseTo(14, 6);
    expect(outcomes(judgement, SPEED)).toEqual(['pass', 'pass']);
  });
});
