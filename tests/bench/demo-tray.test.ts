// The demo tray, unit by unit with other seeds: the verdict and the first cause come from the waveform alone.
// Invented units; what each really has stands in its case file and is told to the virtual bench only.

import { describe, expect, it } from 'vitest';
import { drivePlan } from '../../host/bench/index.js';
import { type Judgement, judge } from '../../host/judge/index.js';
import { loadCase, loadTray, loadUnit } from '../../host/profile/index.js';
import { connectRig } from '../../host/rig/index.js';
import { openVirtualRig } from '../../host/virtual-rig/index.js';
import { expectationOf } from '../judge/known-expectations.js';

/** Verdict, and words that the first finding (with what reads the same) must contain. */
const EXPECTED: Record<string, { verdict: string; cause?: RegExp }> = {
  'roof-vent-good': { verdict: 'pass' },
  'entry-step-good': { verdict: 'pass' },
  'seat-slide-good': { verdict: 'pass' },
  // Nothing moves one way: by these readings alone the hand may not have thrown it.
  'jumper-missing': { verdict: 'cannot-tell', cause: /jumper a2-b1/i },
  'leads-exchanged': { verdict: 'fail', cause: /motor lead A and motor lead B are exchanged/i },
  'relay-contacts-exchanged': { verdict: 'fail', cause: /87 and 87a of K1/ },
  'coil-open': { verdict: 'fail', cause: /coil of K2/i },
  'worn-brushes': { verdict: 'fail', cause: /brush/i },
  'bound-gearbox': { verdict: 'cannot-tell', cause: /another one than the usual.*gearbox/i },
  'corroded-ground': { verdict: 'cannot-tell', cause: /clip on the ground wire.*corroded joint/i },
};

async function runOnce(profile: string, caseId: string, seed: number): Promise<Judgement> {
  const unit = loadUnit(profile);
  const expected = expectationOf(unit);
  const virtual = openVirtualRig({ unit, virtualCase: loadCase(caseId), paced: false, seed });
  const rig = await connectRig({ port: virtual, clock: virtual.clock, rigProfile: unit.rig });
  try {
    const { capture, halt } = await drivePlan(rig, unit.plan.steps, {
      trip: unit.rig.trip,
      signal: new AbortController().signal,
      onStep() {},
      onSamples() {},
      // A switch that carries the motor is thrown by the hand of the virtual bench.
      ...(unit.plan.throwBy === 'operator' && {
        byHand: {
          longestHoldS: rig.facts.longestHoldS,
          polarity: unit.style.polarity,
          onPrompt: (prompt) => virtual.hear?.(prompt),
        },
      }),
    });
    return judge({ unit, capture, expectation: expected, stop: halt?.reason });
  } finally {
    await rig.close();
    virtual.close();
  }
}

const tray = loadTray('tray');

describe('demo tray', () => {
  it('has at least eight units of both styles, good ones and every fault that is expected here', () => {
    expect(tray.units.length).toBeGreaterThanOrEqual(8);
    expect(
      new Set(tray.units.map(({ profile }) => loadUnit(profile).unit.circuit)).size,
    ).toBeGreaterThanOrEqual(2);
    expect(new Set(tray.units.map((unit) => unit.virtual))).toEqual(new Set(Object.keys(EXPECTED)));
  });

  for (const { tag, profile, virtual } of tray.units) {
    const { verdict, cause } = EXPECTED[virtual!]!;
    const seeds = [loadCase(virtual!).seed, 2001, 2002];
    it(`${tag} ${virtual}: ${verdict} with seeds ${seeds.join(', ')}`, async () => {
      for (const seed of seeds) {
        const judgement = await runOnce(profile, virtual!, seed);
        const failed = judgement.checks
          .filter((check) => /fail/.test(check.outcome))
          .map((check) => check.sentence);
        expect(judgement.verdict, `seed ${seed}: ${failed.join(' | ')}`).toBe(verdict);
        if (cause) expect(judgement.findings[0]?.sentence, `seed ${seed}`).toMatch(cause);
      }
    });
  }
});
