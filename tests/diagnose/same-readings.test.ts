// Which causes a run cannot tell apart: each one's own readings would be taken for the other's, within e^2.

import { describe, expect, it } from 'vitest';
import { faultsNotShown } from '../../host/diagnose/index.js';
import { sameReadings, shownBy } from '../../host/diagnose/same-readings.js';
import { runStretch } from '../../host/measure/index.js';
import { FORWARD, LIMITED_FORWARD, segmentOf } from '../judge/handmade.js';
import { cause, evidenceOf, HEALTHY, libraryOf, type Shown, student } from './handmade.js';

const leadB = (volts: number, more: Omit<Shown, 'read'> = {}): Shown => ({
  read: [[FORWARD, { leadBVoltageV: volts }]],
  ...more,
});
const WHOLE = { onlyLimited: false, unsampled: new Set<never>(), notSampled: [] };
const same = (a: ReturnType<typeof cause>, b: ReturnType<typeof cause>, onlyLimited = false): boolean[] => [
  sameReadings(a, b, {}, { ...WHOLE, onlyLimited }),
  sameReadings(b, a, {}, { ...WHOLE, onlyLimited }),
];

describe('two causes', () => {
  // At next to no volts 0.12 V is left open: the readings of one are worth e^2 more to itself than to the other from here.
  const farV = 0.12 * Math.sqrt(4 * Math.expm1(2 / (2.5 * 0.75)));
  it('are one to readings that differ in likelihood by less than e^2, whichever comes first', () => {
    expect(0.75 * student(farV / 0.12)).toBeCloseTo(-2, 9);
    const good = cause('a', [leadB(0)]);
    expect(same(good, cause('b', [leadB(0.95 * farV)]))).toEqual([true, true]);
    expect(same(good, cause('b', [leadB(1.05 * farV)]))).toEqual([false, false]);
  });

  it('must be taken for each other both ways round', () => {
    const [wide, narrow] = [cause('wide', [leadB(0), leadB(5)]), cause('narrow', [leadB(0)])];
    expect(same(wide, narrow)).toEqual([false, false]);
    expect(same(wide, cause('other', [leadB(5), leadB(0)]))).toEqual([true, true]);
  });

  it('of one group are one, and of two groups only by their readings', () => {
    const of = (id: string, volts: number, group?: string) =>
      cause(id, [leadB(volts)], group === undefined ? {} : { group });
    expect(same(of('a', 0, 'path'), of('b', 5, 'path'))).toEqual([true, true]);
    expect(same(of('a', 0, 'path'), of('b', 5, 'other'))).toEqual([false, false]);
    expect(same(of('a', 0), of('b', 5))).toEqual([false, false]);
    expect(same(of('a', 0, 'path'), of('b', 0, 'other'))).toEqual([true, true]);
  });

  it('of which one is that nothing is wrong are never one', () => {
    expect(same(cause(HEALTHY, [leadB(0)]), cause('b', [leadB(0)]))).toEqual([false, false]);
    expect(same(cause(HEALTHY, [leadB(0)], { group: 'x' }), cause('b', [leadB(0)], { group: 'x' }))).toEqual([
      false,
      false,
    ]);
  });

  it.each(['motor', 'harness'] as const)('that drop out on the %s side by more than half are two', (side) => {
    const dropping = (chance: number) =>
      cause('b', [leadB(0)], { dropouts: { motor: 0.1, harness: 0.1, [side]: chance } });
    const steady = cause('a', [leadB(0)], { dropouts: { motor: 0.1, harness: 0.1 } });
    expect(same(steady, dropping(0.59))).toEqual([true, true]);
    expect(same(steady, dropping(0.61))).toEqual([false, false]);
  });

  it('that trip the rig in another stretch are two', () => {
    const a = cause('a', [leadB(0, { tripsIn: 'forward' })]);
    expect(same(a, cause('b', [leadB(0, { tripsIn: 'forward' })]))).toEqual([true, true]);
    expect(same(a, cause('b', [leadB(0, { tripsIn: 'reverse' })]))).toEqual([false, false]);
    expect(same(a, cause('b', [leadB(0)]))).toEqual([false, false]);
  });

  it('are held apart by the limited feed alone, where a run ended there', () => {
    const both = (limitedV: number, fullV: number, release: 'coast' | 'brake-ground' = 'coast'): Shown => ({
      read: [
        [LIMITED_FORWARD, { leadBVoltageV: limitedV }],
        [FORWARD, { leadBVoltageV: fullV }],
        [undefined, { operateS: fullV }],
      ],
      segments: [segmentOf(LIMITED_FORWARD), segmentOf(FORWARD, { release })],
    });
    const a = cause('a', [both(0, 0)]);
    expect(same(a, cause('b', [both(0, 5, 'brake-ground')]))).toEqual([false, false]);
    expect(same(a, cause('b', [both(0, 5, 'brake-ground')]), true)).toEqual([true, true]);
    expect(same(a, cause('b', [both(3, 0)]), true)).toEqual([false, false]);
  });

  it('whose readings spread among good units are sooner one', () => {
    const [a, b] = [cause('a', [leadB(5)]), cause('b', [leadB(6)])];
    expect(sameReadings(a, b, {}, WHOLE)).toBe(false);
    expect(sameReadings(a, b, { forwardLeadBVoltageV: 0.5 }, WHOLE)).toBe(true);
  });
});

describe('a cause as this run shows it', () => {
  it('is its way that explains the run best, and nothing else of it changes', () => {
    const entry = cause('a', [leadB(0), leadB(5), leadB(9)]);
    for (const [volts, way] of [
      [0, 0],
      [5.1, 1],
      [9.3, 2],
    ] as const) {
      expect(shownBy(entry, evidenceOf(leadB(volts)), {})).toEqual({
        ...entry,
        patterns: [entry.patterns[way]],
      });
    }
  });
  it('is the earlier of two that explain it as well', () => {
    const entry = cause('a', [leadB(1), leadB(1, { segments: [segmentOf(FORWARD, { toS: 2 })] })]);
    expect(shownBy(entry, evidenceOf(leadB(1)), {}).patterns).toEqual([entry.patterns[0]]);
  });
});

describe('what a plan cannot show', () => {
  const steady = { dropouts: { motor: 0.01, harness: 0.01 } };
  it('reads as a good unit does, in every way, and does not come and go', () => {
    const library = libraryOf(
      leadB(0),
      cause('hidden', [leadB(0)], steady),
      cause('seen', [leadB(5)], steady),
      cause('partly', [leadB(0), leadB(5)], steady),
      cause('loose', [leadB(0)], { dropouts: { motor: 0.01, harness: 0.1 } }),
      cause('worn', [leadB(0)], { dropouts: { motor: 0.1, harness: 0.01 } }),
      cause('nearly', [leadB(0)], { dropouts: { motor: 0.09, harness: 0.09 } }),
    );
    expect(faultsNotShown(library, {})).toEqual(['hidden', 'nearly']);
  });
  it('is held against the whole of what a good unit reads', () => {
    const reverse = runStretch('full', 'reverse');
    const good: Shown = {
      read: [
        [FORWARD, { leadBVoltageV: 0 }],
        [reverse, { leadBVoltageV: 12 }],
      ],
      segments: [segmentOf(FORWARD), segmentOf(reverse)],
    };
    const library = libraryOf(
      good,
      cause('stuck', [{ ...good, read: [[FORWARD, { leadBVoltageV: 0 }]] }], steady),
    );
    expect(faultsNotShown(library, {})).toEqual([]);
  });
  it('is nothing where no good unit is known', () => {
    const { entries, ...library } = libraryOf(leadB(0), cause('hidden', [leadB(0)], steady));
    expect(faultsNotShown({ ...library, entries: entries.slice(1) }, {})).toEqual([]);
  });
});
