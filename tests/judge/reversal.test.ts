// A reversal without a pause, as an imported capture may show it: voltage and back-EMF add, so the peak lies at 1.4 to
// 1.6 of the stall current (iee-business.com, plugging of DC motors: V and E add; here V + 0.75 to 0.86 V).

import { describe, expect, it } from 'vitest';
import { nominalInput, simulatePlan } from '../../host/circuit/index.js';
import { judge } from '../../host/judge/index.js';
import { plannedUnit } from '../profile/planned-unit.js';
import { expectationOf } from './known-expectations.js';

const UNIT = plannedUnit('roof-vent-switch');
const expected = expectationOf(UNIT, 20);
const capture = (pauseS: number) => {
  const { ripple: _ripple, ...motor } = nominalInput(UNIT).motor;
  const rest = { position: 'rest' as const, feed: 'full' as const };
  const { feed: _feed, ...told } = simulatePlan(
    { ...nominalInput(UNIT), motor },
    {
      steps: [
        { ...rest, durationS: 0.4 },
        { position: 'forward', durationS: 0.9, feed: 'full' },
        ...(pauseS > 0 ? [{ ...rest, durationS: pauseS }] : []),
        { position: 'reverse', durationS: 0.9, feed: 'full' },
        { ...rest, durationS: 0.7 },
      ],
    },
  );
  return told;
};
const checksOf = (pauseS: number) =>
  judge({ unit: UNIT, capture: capture(pauseS), expectation: expected }).checks;

describe('a reversal without a pause', () => {
  it('peaks at 1.4 to 1.6 of the stall current, and is not taken for a start from rest', () => {
    const checks = checksOf(0);
    const reversal = checks.find(({ id }) => id === 'reversal-reverse');
    expect(reversal?.value).toBeGreaterThan(1.4);
    expect(reversal?.value).toBeLessThan(1.65);
    expect(reversal?.outcome, reversal?.sentence).not.toBe('fail');
    expect(checks.some(({ id }) => id === 'inrush-reverse')).toBe(false);
    expect(checks.some(({ id }) => id === 'inrush-forward')).toBe(true);
  });

  it('is not seen where the motor came to rest', () => {
    const checks = checksOf(0.7);
    expect(checks.some(({ id }) => id.startsWith('reversal'))).toBe(false);
    expect(checks.some(({ id }) => id === 'inrush-reverse')).toBe(true);
  });
});
