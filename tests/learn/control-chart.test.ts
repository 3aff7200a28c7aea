// Charts against the worked examples of the NIST/SEMATECH e-Handbook 6.3.2.2 (flow rate) and 6.3.2.4 (EWMA). Their readings
// and results are values from memory; the results follow from the readings.

import { describe, expect, it } from 'vitest';
import { chartFrom, controlChart } from '../../host/learn/control-chart.js';

const FLOW = [49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1];
const EWMA = [
  ...[52, 47, 53, 49.3, 50.1, 47, 51, 50.1, 51.2, 50.5],
  ...[49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1],
];

describe('chart of individuals', () => {
  it('has the limits of the handbook for ten flow rates: 45.8159 and 55.8041 about 50.81', () => {
    const { centre, lower, upper, rangeUpper, trips } = controlChart(FLOW, chartFrom(FLOW, 10));
    expect(centre).toBeCloseTo(50.81, 4);
    expect(lower).toBeCloseTo(45.8159, 3);
    expect(upper).toBeCloseTo(55.8041, 3);
    // D4 times the mean moving range of 1.8778.
    expect(rangeUpper).toBeCloseTo(3.267 * 1.8778, 3);
    expect(trips).toEqual([]);
  });

  it('names the run beyond a limit and the jump to it', () => {
    const { trips } = controlChart([...FLOW, 50.5, 56.9, 50.9], chartFrom(FLOW, 10));
    expect(trips.find(({ rule }) => rule === 'beyond-limit')).toMatchObject({ first: 11, places: [11] });
    expect(trips.find(({ rule }) => rule === 'moving-range')?.first).toBe(11);
  });
});

describe('chart of the weighted average', () => {
  it('is that of the handbook: limits 47.4115 and 52.5884, nothing out', () => {
    const chart = controlChart(EWMA, { centre: 50, spread: 2.0539, base: 0 });
    expect(chart.averageLower).toBeCloseTo(47.4115, 3);
    expect(chart.averageUpper).toBeCloseTo(52.5884, 3);
    const handbook = [
      ...[50.6, 49.52, 50.56, 50.18, 50.16, 49.21, 49.75, 49.85, 50.26, 50.33],
      ...[50.11, 49.36, 49.52, 50.05, 49.38, 49.92, 50.73, 51.23, 51.94, 51.99],
    ];
    handbook.forEach((value, k) => {
      expect(Math.abs((chart.average[k] ?? 0) - value)).toBeLessThan(0.006);
    });
    expect(chart.trips).toEqual([]);
  });

  it('sees a slow drift before a single run is out, and says since when', () => {
    // A third of a standard deviation a run from the eighth on.
    const values = Array.from(
      { length: 16 },
      (_, k) => 50 + (k % 2 ? 0.4 : -0.4) + Math.max(0, k - 7) * 0.35,
    );
    const { trips } = controlChart(values, { centre: 50, spread: 1, base: 4 });
    const average = trips.find(({ rule }) => rule === 'weighted-average');
    expect(average?.since).toBeGreaterThanOrEqual(7);
    expect(average?.since).toBeLessThan(average?.first ?? 0);
    expect(trips.find(({ rule }) => rule === 'beyond-limit')?.first ?? 99).toBeGreaterThan(
      average?.first ?? 99,
    );
  });
});
