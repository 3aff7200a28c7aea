// A good relay on somebody's clamp: the coil's current alone, or beside contacts that nothing tells apart. Its coil is a
// winding of 85 Ohm beside 680 Ohm by the closed form of a switched R-L circuit (any textbook), its armature's mark left out.

import { describe, expect, it } from 'vitest';
import type { Capture } from '../../../host/capture/index.js';
import { seededRandom } from '../../../host/circuit/index.js';
import { asWitnessed, causeLibrary, expectation, judge, judgementJson } from '../../../host/judge/index.js';
import { loadUnit } from '../../../host/profile/index.js';

const SEED = 1187;
const [SUPPLY_V, WINDING_OHM, BESIDE_OHM, INDUCTANCE_H] = [13, 85, 680, 0.3];
const RATE_HZ = 2000;
const CYCLES = 4;

function coilRun(more: Capture['channels'] = {}): Capture {
  const random = seededRandom(SEED);
  const timeS = Float64Array.from({ length: (0.4 + 0.7 * CYCLES) * RATE_HZ }, (_, k) => k / RATE_HZ);
  const coilCurrentA = timeS.map((t) => {
    const onS = t < 0.4 ? Number.NaN : (t - 0.4) % 0.7;
    const isOn = onS < 0.3;
    const winding = (SUPPLY_V / WINDING_OHM) * (1 - Math.exp((-onS * WINDING_OHM) / INDUCTANCE_H));
    return (isOn ? winding + SUPPLY_V / BESIDE_OHM : 0) + 0.0008 * random.normal();
  });
  return {
    ...{ timeS, position: Array.from(timeS, () => 'rest' as const), positionKnown: false, gaps: [] },
    ...{ sampleRateHz: RATE_HZ, notes: [], isForeign: true, channels: { coilCurrentA, ...more } },
  };
}

const unit = asWitnessed(loadUnit('mini-changeover-alone'), coilRun());
const library = causeLibrary(unit);
const expected = expectation(unit);
const told = (capture: Capture) => judge({ unit, capture, expectation: expected, library: () => library });
const level = (value: number): Float64Array => coilRun().timeS.map(() => value);

describe.each([
  ['the coil current alone', coilRun()],
  ['coil current and supply', coilRun({ supplyVoltageV: level(SUPPLY_V) })],
  [
    'coil current and leads, of which nothing tells the contacts apart',
    coilRun({ feedCurrentA: level(2.7), leadAVoltageV: level(0.008), leadBVoltageV: level(0.018) }),
  ],
])(`a good relay by %s (noise ${SEED})`, (_words, capture) => {
  const judged = told(capture);

  it('is accused of nothing that was not sampled', () => {
    expect(judged.verdict).toBe('cannot-tell');
    // A coil that shows no mark of its armature may have one that is held.
    const ofNobody = ['healthy', 'armature-not-shown'];
    expect(ofNobody).toContain(judged.findings[0]?.id);
    expect(
      judged.findings.filter(({ id, likelihood }) => !ofNobody.includes(id) && likelihood >= 0.3),
    ).toEqual([]);
  });

  it('is not said to leave its contacts in place', () => {
    expect(judged.checks.filter(({ outcome }) => outcome === 'fail')).toEqual([]);
    for (const { what } of Object.values(judged.measured))
      expect(['cyclesOperated', 'cyclesReturned', 'cyclesAtRest', 'cyclesLetGo']).not.toContain(what);
  });
});

describe('a coil that takes its current in one sweep', () => {
  it('is called good in no word of the JSON either', () => {
    const { findings } = judgementJson(told(coilRun()));
    expect(findings[0]?.sentence).toMatch(/it may be held/);
    expect(findings.map(({ id }) => id)).not.toContain('healthy');
    expect(JSON.stringify(findings)).not.toContain('"healthy"');
  });
});
