import { beforeAll, describe, expect, it } from 'vitest';
import type { Capture } from '../../host/capture/index.js';
import { drawInput, seededRandom } from '../../host/circuit/index.js';
import { type DiagnosisLibrary, diagnose, diagnosisLibrary, tripIndex } from '../../host/diagnose/index.js';
import { measure } from '../../host/measure/index.js';
import type { ResolvedUnit } from '../../host/profile/index.js';
import { withFaults } from '../circuit/with-faults.js';
import { benchRun } from '../judge/bench.js';
import { knownUnit } from '../profile/known-unit.js';

let unit: ResolvedUnit;
let library: DiagnosisLibrary;
beforeAll(() => {
  unit = knownUnit('seat-slide-relays');
  library = diagnosisLibrary(unit);
}, 60_000);

const findings = (faults: string[], seed: number) => {
  const run = benchRun(unit, withFaults(drawInput(unit, seededRandom(seed)), ...faults), { seed });
  return diagnose({ library, seen: measure(run.capture, { rig: unit.rig }), stop: run.stop });
};

describe('findings', () => {
  it('have likelihoods that fall in order and sum to at most one (seeds 9101 to 9108)', () => {
    [
      'k1-coil-open',
      'ground-open',
      'motor-open',
      'lead-a-shorted-to-ground',
      'k2-make-welded',
      'k1-four-pin',
      'feed-resistance',
      'motor-rotor-locked',
    ].forEach((fault, n) => {
      const found = findings([fault], 9101 + n);
      const likelihoods = found.map(({ likelihood }) => likelihood);
      expect(likelihoods.reduce((sum, value) => sum + value, 0)).toBeLessThanOrEqual(1 + 1e-9);
      expect([...likelihoods].sort((a, b) => b - a)).toEqual(likelihoods);
      expect([found[0]!.id, ...(found[0]!.inseparable ?? [])]).toContain(fault);
    });
  });

  it('put the good unit first for a good unit (seeds 9201 to 9206)', () => {
    for (let seed = 9201; seed <= 9206; seed++)
      expect(findings([], seed)[0]!.id, `seed ${seed}`).toBe('healthy');
  });

  it('say that coil, coil wire and trigger wire of one relay read the same, as their group does', () => {
    const found = findings(['k2-coil-open'], 9301)[0]!;
    expect([found.id, ...(found.inseparable ?? [])]).toEqual(
      expect.arrayContaining(['k2-86-coil-feed-open', 'k2-coil-open', 'trigger-reverse-open']),
    );
    expect(found.id).toBe('k2-coil-open');
    expect(found.sentence).toMatch(/read/);
  });

  it('leave most of the weight to nothing listed when two faults meet (seed 9401)', () => {
    const found = findings(['k1-coil-open', 'motor-leads-exchanged', 'feed-resistance'], 9401);
    const certain = found.filter(({ id, likelihood }) => id !== 'not-in-list' && likelihood > 0.99);
    // Either nothing listed, or a cause that is truly one of the three.
    for (const { id, inseparable } of certain) {
      expect(
        ['k1-coil-open', 'motor-leads-exchanged', 'feed-resistance'].some(
          (truth) => id === truth || inseparable?.includes(truth),
        ),
      ).toBe(true);
    }
  });
});

describe('the over-current stop that a prediction runs into', () => {
  const capture = (currents: number[]): Capture => ({
    timeS: Float64Array.from(currents, (_, i) => i / 5000),
    position: currents.map(() => 'forward' as const),
    channels: { motorCurrentA: Float64Array.from(currents) },
    gaps: [],
    sampleRateHz: 5000,
    notes: [],
  });
  const trip = { motorCurrentA: 30, feedCurrentA: 30, samples: 3 };

  it('needs as many samples in a row as the rig counts', () => {
    expect(tripIndex(capture([0, 31, 31, 0, 31, 31, 29]), trip)).toBeUndefined();
    expect(tripIndex(capture([0, 31, 31, 31, 0]), trip)).toBe(3);
  });
  it('counts either direction', () => {
    expect(tripIndex(capture([-31, -32, -33, 0]), trip)).toBe(2);
  });
});
