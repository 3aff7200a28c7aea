// Captures of instruments that have fewer channels than the rig: what was not sampled neither accuses nor acquits.

import { beforeAll, describe, expect, it } from 'vitest';
import type { Channel } from '../../host/capture/index.js';
import { drawInput, faultsOfUnit, seededRandom } from '../../host/circuit/index.js';
import { type DiagnosisLibrary, diagnosisLibrary } from '../../host/diagnose/index.js';
import { type Expectation, expectation, judge } from '../../host/judge/index.js';
import { planSchema, type ResolvedUnit } from '../../host/profile/index.js';
import { withFaults } from '../circuit/with-faults.js';
import { benchRun } from '../judge/bench.js';
import { plannedUnit } from '../profile/planned-unit.js';

/** As an oscilloscope sees it: nothing through a limiter, and no column that tells the feed. */
const PLAN = planSchema.parse({
  ...{ id: 'full-feed', title: 'Full feed', kind: 'plan' },
  steps: [
    { position: 'rest', durationS: 0.4 },
    { position: 'forward', durationS: 0.9 },
    { position: 'rest', durationS: 0.7 },
    { position: 'reverse', durationS: 0.9 },
    { position: 'rest', durationS: 0.7 },
  ],
});
const SAMPLED: Record<string, readonly Channel[]> = {
  'motor current and leads': ['motorCurrentA', 'leadAVoltageV', 'leadBVoltageV'],
  'motor current alone': ['motorCurrentA'],
  'feed current alone': ['feedCurrentA'],
};

describe.each(['seat-slide-relays', 'roof-vent-switch'])('%s', (id) => {
  let unit: ResolvedUnit;
  let expected: Expectation;
  let library: DiagnosisLibrary;
  beforeAll(() => {
    unit = { ...plannedUnit(id), plan: PLAN };
    expected = expectation(unit);
    library = diagnosisLibrary(unit);
  });

  function judged(faults: readonly string[], seed: number, channels: readonly Channel[]) {
    const { capture, stop } = benchRun(unit, withFaults(drawInput(unit, seededRandom(seed)), ...faults), {
      seed,
    });
    const { feed: _, ...told } = capture;
    const kept = Object.entries(capture.channels).filter(([name]) => channels.includes(name as Channel));
    const part = { ...told, channels: Object.fromEntries(kept) };
    return judge({ unit, capture: part, stop, expectation: expected, library: () => library });
  }

  it.each(Object.entries(SAMPLED))('good, accuses nobody with %s (benches 300 to 305)', (_, channels) => {
    for (let seed = 300; seed < 306; seed++) {
      const { verdict, findings, sentence } = judged([], seed, channels);
      expect(verdict, sentence).toBe('cannot-tell');
      for (const { id: named, likelihood } of findings) {
        expect(named).not.toBe('not-in-list');
        if (named !== 'healthy' && named !== 'another-motor') expect(likelihood, named).toBeLessThan(0.5);
      }
    }
  });

  it.each(Object.entries(SAMPLED))(
    'faulty, misleads nobody with %s',
    (_, channels) => {
      const misled: string[] = [];
      const every3rd = faultsOfUnit(unit).filter((_, place) => place % 3 === 0);
      for (const [n, { id: fault }] of every3rd.entries()) {
        const { verdict, findings } = judged([fault], 400 + n, channels);
        const [first] = findings;
        if (verdict === 'pass' || first === undefined || first.likelihood < 0.9) continue;
        const named = [first.id, ...(first.inseparable ?? [])];
        if (!named.includes(fault) && !named.includes('healthy'))
          misled.push(`${fault} as ${named.join(', ')}`);
      }
      // One in forty, as many as the likelihood that was said allows for.
      expect(misled.length, misled.join('\n')).toBeLessThanOrEqual(2);
    },
    180_000,
  );
});
