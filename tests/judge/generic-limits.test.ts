// A profile with generic numbers is no specification: a good motor of its family passes or cannot be told, and nobody is
// accused of what another motor explains as well. What no motor may do fails all the same.

import { beforeAll, describe, expect, it } from 'vitest';
import type { Capture } from '../../host/capture/index.js';
import { seededRandom } from '../../host/circuit/index.js';
import { type DiagnosisLibrary, diagnosisLibrary } from '../../host/diagnose/index.js';
import { type Expectation, expectation, judge } from '../../host/judge/index.js';
import type { ResolvedUnit } from '../../host/profile/index.js';
import { shortFinder } from '../accuracy/bench-run.js';
import { runDirectly } from '../accuracy/direct-run.js';
import { otherMotor, type RandomUnit } from '../accuracy/random-unit.js';
import { withPressedClips } from '../profile/clips-pressed.js';
import { withKnownMotor } from '../profile/known-unit.js';
import { plannedUnit } from '../profile/planned-unit.js';

interface Desk {
  unit: ResolvedUnit;
  expected: Expectation;
  library: DiagnosisLibrary;
}
const deskOf = (unit: ResolvedUnit): Desk => ({
  unit,
  expected: expectation(unit),
  library: diagnosisLibrary(unit),
});

/** What the simulated bench has on it is judged by `desk`. */
function judgedOn(desk: Desk, given: Partial<RandomUnit['virtualCase']>, seed: number) {
  const gate = shortFinder(desk.unit);
  const virtualCase = {
    ...{ id: 'any', title: 'Any', kind: 'case' as const, seed, faults: [], motorScale: {}, supply: {} },
    temperatureC: 22,
    ...given,
  };
  const run: { capture: Capture; stop: string | undefined } = runDirectly(
    { unit: desk.unit, truth: 'any', seed, virtualCase },
    (soFar) => gate(soFar) !== undefined,
  );
  return judge({ unit: desk.unit, ...run, expectation: desk.expected, library: () => desk.library });
}

const failing = ({ checks }: ReturnType<typeof judge>): string =>
  checks
    .filter(({ outcome }) => /fail/.test(outcome))
    .map(({ sentence }) => sentence)
    .join(' | ');

describe.each(['window-lift-switch', 'seat-slide-relays', 'window-lift-alone'])(
  'generic limits of %s',
  (id) => {
    let desk: Desk;
    let known: Desk;
    beforeAll(() => {
      desk = deskOf(plannedUnit(id));
      known = deskOf(withKnownMotor(desk.unit));
    }, 180_000);

    it('fail no good motor of the family, and accuse none (random motors, seed 1201; 11.5 to 14 V, 5 to 35 C)', () => {
      const random = seededRandom(1201);
      let passed = 0;
      for (let n = 0; n < 20; n++) {
        const motorScale = otherMotor(desk.unit, random);
        const supply = { voltageV: 11.5 + 2.5 * random.uniform() };
        const judgement = judgedOn(
          desk,
          { motorScale, supply, temperatureC: 5 + 30 * random.uniform() },
          9000 + n,
        );
        expect(judgement.verdict, failing(judgement)).not.toBe('fail');
        if (judgement.verdict === 'pass') passed++;
        const [first] = judgement.findings;
        if (first === undefined || ['healthy', 'another-motor'].includes(first.id)) continue;
        expect(first.likelihood, `${n}: ${first.sentence}`).toBeLessThan(0.5);
      }
      expect(passed).toBeGreaterThanOrEqual(16);
    }, 180_000);

    it('never fail for a current alone: five times the friction is another motor or a bound gearbox (seed 77)', () => {
      const given = { motorScale: { coulombNm: 5, viscousNms: 2.2 } };
      const judgement = judgedOn(desk, given, 77);
      expect(judgement.verdict, failing(judgement)).toBe('cannot-tell');
      const running = judgement.checks.find((check) => check.id === 'running-forward');
      expect(running).toMatchObject({ outcome: 'conditional-fail', otherThanUsual: true, origin: 'generic' });
      expect(running?.sentence).toMatch(/Other than the usual motor/);
      const [first] = judgement.findings;
      expect([first?.id, ...(first?.inseparable ?? [])]).toEqual(
        expect.arrayContaining(['another-motor', 'motor-gearbox-bound']),
      );
      // The same motor where the profile is a specification.
      const told = judgedOn(known, given, 77);
      expect(told.verdict).toBe('fail');
      expect(told.findings[0]?.id).toBe('motor-gearbox-bound');
      expect(told.checks.some(({ otherThanUsual }) => otherThanUsual)).toBe(false);
    });

    it('say behind the verdict which limits are generic, and a specification says nothing of it', () => {
      expect(judgedOn(desk, {}, 5).sentence).toMatch(/Generic limits, unproven: .*running current/);
      expect(judgedOn(known, {}, 5).sentence).not.toMatch(/[Gg]eneric/);
    });

    it('fail a motor that is open, and one that does not turn', () => {
      const open = judgedOn(desk, { faults: ['motor-open'] }, 31);
      expect(open.verdict).toBe('fail');
      const locked = judgedOn(desk, { faults: ['motor-rotor-locked'] }, 32);
      expect(locked.verdict).toBe('fail');
      expect(failing(locked)).toMatch(/does not turn/);
      const [first] = locked.findings;
      expect([first?.id, ...(first?.inseparable ?? [])]).toContain('motor-rotor-locked');
    });

    it('fail brushes that drop out, in a motor of any size', () => {
      const worn = { extraResistanceOhm: 0.4, dropoutsPerS: 14, dropoutS: 0.004 };
      const motorScale = otherMotor(desk.unit, seededRandom(8));
      const judgement = judgedOn(desk, { wornBrushes: worn, motorScale }, 33);
      expect(judgement.verdict, failing(judgement)).toBe('fail');
      const [first] = judgement.findings;
      expect([first?.id, ...(first?.inseparable ?? [])]).toContain('motor-brushes-worn');
    });
  },
);

describe('a harness with a motor that nobody has numbers of', () => {
  it.each([
    ['seat-slide-relays', 'ground-resistance'],
    ['seat-slide-relays', 'k1-make-burnt'],
    ['seat-slide-relays', 'k2-coil-open'],
    ['window-lift-switch', 'feed-resistance'],
  ])(
    'is told by its own motor, whatever that is: %s, %s',
    (id, fault) => {
      const desk = deskOf(withPressedClips(plannedUnit(id)));
      const random = seededRandom(40);
      for (let n = 0; n < 4; n++) {
        const motorScale = otherMotor(desk.unit, random);
        const judgement = judgedOn(desk, { faults: [fault], motorScale }, 700 + n);
        expect(judgement.verdict, `${n}: ${failing(judgement)}`).toBe('fail');
        const [first] = judgement.findings;
        expect([first?.id, ...(first?.inseparable ?? [])], `${n}`).toContain(fault);
      }
    },
    180_000,
  );
});
