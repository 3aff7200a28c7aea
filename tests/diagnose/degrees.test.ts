// Strengths between those that are simulated: straight between neighbours, and towards the good unit where a fault
// comes in degrees.

import { describe, expect, it } from 'vitest';
import { inDegrees } from '../../host/diagnose/degrees.js';
import type { Pattern } from '../../host/diagnose/library.js';
import { type Measured, puttingInto, quantityOf, runStretch } from '../../host/measure/index.js';

const FORWARD = runStretch('full', 'forward');
const pattern = (dropV: number, more: Partial<Pattern['segments'][number]> = {}): Pattern => {
  const measured: Measured = {};
  puttingInto(measured, FORWARD)('leadBVoltageV', quantityOf(dropV, 'V', []));
  return {
    measured,
    segments: [{ of: FORWARD, fromS: 0, toS: 1, brief: false, lost: {}, dropouts: [], ...more }],
    tripsIn: undefined,
  };
};
const drops = (patterns: readonly Pattern[]): number[] =>
  patterns.map(({ measured }) => Math.round(1000 * (measured.forwardLeadBVoltageV?.value ?? Number.NaN)));

describe('strengths in between', () => {
  it('lie on straight lines: thirds between two that were simulated', () => {
    expect(drops(inDegrees({ comesInDegrees: false }, [pattern(1), pattern(4)], pattern(0)))).toEqual([
      1000, 4000, 2000, 3000,
    ]);
  });

  it('lie between the good unit and the first only where the fault comes in degrees', () => {
    expect(drops(inDegrees({ comesInDegrees: true }, [pattern(2)], pattern(0)))).toEqual([2000, 800, 1400]);
    expect(drops(inDegrees({ comesInDegrees: false }, [pattern(2)], pattern(0)))).toEqual([2000]);
    expect(drops(inDegrees({ comesInDegrees: true }, [pattern(2)], undefined))).toEqual([2000]);
  });

  it('are none between runs of another kind: a trip, another release, a throw cut short', () => {
    const others: Pattern[] = [
      { ...pattern(4), tripsIn: 'forward' },
      pattern(4, { release: 'brake-ground' }),
      pattern(4, { brief: true }),
      { ...pattern(4), segments: [] },
      pattern(4, { of: runStretch('full', 'reverse') }),
    ];
    for (const other of others)
      expect(inDegrees({ comesInDegrees: false }, [pattern(1), other], pattern(0))).toHaveLength(2);
    // One throw of two is another.
    const twice = (release: 'coast' | 'brake-ground', fromTrip?: string): Pattern => ({
      ...pattern(4),
      segments: [...pattern(4).segments, ...pattern(4, { release }).segments],
      tripsIn: fromTrip,
    });
    const steps = (a: Pattern, b: Pattern) => inDegrees({ comesInDegrees: false }, [a, b], pattern(0)).length;
    expect(steps(twice('coast'), twice('coast'))).toBe(4);
    expect(steps(twice('coast'), twice('brake-ground'))).toBe(2);
    expect(steps(twice('coast', 'forward'), twice('coast'))).toBe(2);
  });
});
