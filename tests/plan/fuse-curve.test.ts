// A fuse by the points of its own sheet: read on logarithmic paper, and used for what is said of a held motor.

import { describe, expect, it } from 'vitest';
import { type Build, builtInput, opensWithin, plannedCurrents, ratingsOf } from '../../host/plan/index.js';
import { loadParts, loadUnit } from '../../host/profile/index.js';

const usual = { origin: 'generic', source: 'its sheet' } as const;
// Rows of the MAXI 40 A sheet (Littelfuse 299, p.3, after ISO 8820-3:2002, as transcribed in a public design note).
const SLOW = {
  ...{ id: 'slow-40', title: 'slow fuse of 40 A', ratedA: 40, ...usual },
  opens: [
    { currentA: 54, leastS: 60, mostS: 1800 },
    { currentA: 80, leastS: 2, mostS: 50 },
    { currentA: 140, leastS: 0.2, mostS: 7 },
    { currentA: 240, leastS: 0.04, mostS: 1 },
  ],
};

describe('a fuse with points of its own', () => {
  it.each([
    [54, 60, 1800],
    [80, 2, 50],
    [140, 0.2, 7],
    [240, 0.04, 1],
  ])('opens at %s A as its sheet says', (currentA, leastS, mostS) => {
    expect(opensWithin(SLOW, currentA)).toEqual({ leastS, mostS });
  });

  it('is read between two points on logarithmic paper', () => {
    // Halfway on logarithmic paper both ways: geometric means.
    const { leastS, mostS } = opensWithin(SLOW, Math.sqrt(80 * 140));
    expect(leastS).toBeCloseTo(Math.sqrt(2 * 0.2), 9);
    expect(mostS).toBeCloseTo(Math.sqrt(50 * 7), 9);
  });

  it('promises nothing below its first point, and no least time above its last', () => {
    expect(opensWithin(SLOW, 40)).toEqual({ leastS: Infinity, mostS: Infinity });
    expect(opensWithin(SLOW, 50)).toEqual({ leastS: 60, mostS: Infinity });
    expect(opensWithin(SLOW, 500)).toEqual({ leastS: 0, mostS: 1 });
  });
});

describe('a held motor', () => {
  const said = (fuses: Build['parts']['fuses'], heldA: number) => {
    const unit = loadUnit('window-lift-switch');
    const parts = { ...loadParts(), fuses };
    const build: Build = {
      wire: { lengthM: 0.5, areaMm2: 6 },
      ...{ fuseA: 10, dropPercent: 3, nominalVoltageV: 12, ambientC: 20, duty: 'short' },
      protector: { opensFromS: 4, opensToS: 90 },
      parts,
    };
    const input = { ...builtInput(unit), temperatureC: 20 };
    const { rows } = ratingsOf(input, plannedCurrents(unit, 13, { runningA: 5, heldA }), build);
    return rows.find(({ kind }) => kind === 'feed');
  };
  const own = (leastS: number, mostS: number) => ({
    ...{ id: 'own-10', title: 'own fuse of 10 A', ratedA: 10, ...usual },
    opens: [
      { currentA: 15, leastS, mostS },
      { currentA: 40, leastS: leastS / 2, mostS: mostS / 2 },
    ],
  });
  const { fuses } = loadParts();

  it('of 25 A is ended by a blade of 10 A before the protector, and by a slow one of the list behind it', () => {
    // The gates: 250 % of 10 A opens in 0.04 to 5 s.
    expect(said(fuses, 25)?.notes.join(' ')).toMatch(
      /the fuse opens in 0\.04 s to 5 s, the motor's protector/,
    );
    expect(said([...fuses, own(300, 900)], 25)?.notes.join(' ')).toMatch(
      /the fuse may|the fuse will not end this/,
    );
    expect(said([...fuses, own(0.5, 2)], 25)?.notes.join(' ')).toMatch(
      /ends this in .*, before the motor's protector/,
    );
  });

  it('says whose points were read', () => {
    expect(said(fuses, 25)?.source).toMatch(/published gates/);
    expect(said([...fuses, own(0.5, 2)], 25)?.source).toMatch(/the points of own fuse of 10 A: its sheet/);
  });
});
