// A good unit on a rig whose two currents are wrong by one factor. To a model that sees currents against voltages it is another
// motor; on a rig that was never calibrated it may as well be the scales (by hand: a shunt of the next value of its row).

import { describe, expect, it } from 'vitest';
import type { Capture, Channel } from '../../host/capture/index.js';
import { faultsOfUnit, nominalInput } from '../../host/circuit/index.js';
import { expectation, judge } from '../../host/judge/index.js';
import { plannedUnit } from '../profile/planned-unit.js';
import { benchRun } from './bench.js';

const SEED = 19;
const UNIT = plannedUnit('entry-step-relays');
const EXPECTED = expectation(UNIT, { draws: 30 });
const NEVER = { ...UNIT, rig: { ...UNIT.rig, neverCalibrated: true as const } };
const { capture: GOOD } = benchRun(UNIT, nominalInput(UNIT), { seed: SEED });

const CURRENTS: Channel[] = ['motorCurrentA', 'feedCurrentA'];
const VOLTAGES: Channel[] = ['leadAVoltageV', 'leadBVoltageV', 'supplyVoltageV'];
const scaled = (capture: Capture, factor: number, of: readonly Channel[]): Capture => {
  const channels = { ...capture.channels };
  for (const channel of of)
    channels[channel] = (channels[channel] ?? new Float64Array()).map((value) => factor * value);
  return { ...capture, channels };
};
const judged = (unit: typeof UNIT, capture: Capture) => judge({ unit, capture, expectation: EXPECTED });

describe(`scales that nobody calibrated (model of the bench, seed ${SEED})`, () => {
  it.each([
    ['currents of 1.35', 1.35, CURRENTS],
    ['currents of 0.7', 0.7, CURRENTS],
    ['voltages of 0.83', 0.83, VOLTAGES],
  ] as const)('fail no good unit: %s', (_, factor, of) => {
    const capture = scaled(GOOD, factor, of);
    const { verdict, sentence, findings } = judged(NEVER, capture);
    expect(verdict).toBe('cannot-tell');
    expect(sentence).toContain('This rig was never calibrated');
    expect(findings).toEqual([]);
  });

  it('pass a good unit where they are right', () => {
    expect(judged(NEVER, GOOD).verdict).toBe('pass');
  });

  it('are blamed for no fault of the harness', () => {
    const faults = faultsOfUnit(UNIT).filter(({ owner }) => owner === 'harness');
    const some = faults.filter((_, i) => i % 12 === 0);
    expect(some.length).toBeGreaterThan(4);
    const blamed = some.filter((fault) => {
      const { capture } = benchRun(UNIT, { ...nominalInput(UNIT), faults: [fault] }, { seed: SEED });
      return judged(NEVER, capture).checks.some(({ id }) => id === 'never-calibrated');
    });
    expect(blamed.map(({ id }) => id)).toEqual([]);
  });
});
