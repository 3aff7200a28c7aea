import { describe, expect, it } from 'vitest';
import { tracePlot } from '../../host/screens/trace-plot.js';
import { TraceStore } from '../../host/screens/trace-store.js';

const ramp = (count: number, value: (i: number) => number) => ({
  timeS: Float64Array.from({ length: count }, (_, i) => i / count),
  value: Float64Array.from({ length: count }, (_, i) => value(i)),
});
const NONE = { timeS: new Float64Array(), value: new Float64Array() };
const textOf = (plot: ReturnType<typeof tracePlot>): string[] =>
  plot.rows.map((runs) => runs.map(({ text }) => text).join(''));
const frame = { columns: 10, rows: 4, fromS: 0, toS: 1, unicode: false };

describe('trace over its band', () => {
  it('draws a constant in one row, at its height between the edges', () => {
    const plot = tracePlot({ ...frame, series: ramp(100, () => 7) });
    expect(plot).toMatchObject({ low: 0, high: 7 });
    expect(textOf(plot)).toEqual(['##########', '          ', '          ', '----------']);
  });

  it('always holds zero, and rounds its edges outward', () => {
    expect(tracePlot({ ...frame, series: ramp(100, () => 12.34) })).toMatchObject({ low: 0, high: 14 });
    expect(tracePlot({ ...frame, series: ramp(100, (i) => (i < 50 ? -21 : 22)) })).toMatchObject({
      low: -25,
      high: 25,
    });
  });

  it('lets a short kick of a lead run out of the picture, and only when asked', () => {
    const kicked = { ...frame, columns: 50, series: ramp(500, (i) => (i > 250 && i < 260 ? -30 : 12)) };
    expect(tracePlot({ ...kicked, clipsKicks: true })).toMatchObject({ low: 0 });
    expect(tracePlot(kicked).low).toBeLessThanOrEqual(-30);
    const swing = { ...frame, columns: 50, series: ramp(500, (i) => (i > 250 ? -12 : 12)), clipsKicks: true };
    expect(tracePlot(swing).low).toBeLessThanOrEqual(-12);
  });

  it('joins a step to a line without a hole', () => {
    const lines = textOf(tracePlot({ ...frame, series: ramp(100, (i) => (i < 50 ? 0 : 8)) }));
    expect(lines.map((line) => line[5])).toEqual(['#', '#', '#', '#']);
    expect(lines[3]!.slice(0, 5)).toBe('#####');
    expect(lines[0]!.slice(5)).toBe('#####');
  });

  it('leaves a gap empty rather than drawing over it', () => {
    const lines = textOf(
      tracePlot({ ...frame, series: ramp(100, (i) => (i >= 30 && i < 60 ? Number.NaN : 8)) }),
    );
    expect(lines[0]).toBe('###   ####');
  });

  it('shows the band alone where nothing was sampled yet, and takes the trace over it afterwards', () => {
    const { timeS } = ramp(100, () => 0);
    const band = { timeS, lower: timeS.map(() => 6), upper: timeS.map(() => 8) };
    expect(textOf(tracePlot({ ...frame, series: NONE, band }))[0]).toBe('::::::::::');
    const half = ramp(100, () => 7);
    const series = { timeS: half.timeS.slice(0, 50), value: half.value.slice(0, 50) };
    expect(textOf(tracePlot({ ...frame, series, band }))[0]).toBe('#####:::::');
  });

  it('marks the trace by tone where it leaves the band, and only there', () => {
    const { timeS } = ramp(100, () => 0);
    const band = { timeS, lower: timeS.map(() => 6), upper: timeS.map(() => 8) };
    const request = { ...frame, series: ramp(100, (i) => (i < 50 ? 7 : 1)), band };
    const tonesOf = (plot: ReturnType<typeof tracePlot>) =>
      new Set(
        plot.rows.flatMap((runs) => runs.filter(({ text }) => text.includes('#')).map(({ tone }) => tone)),
      );
    const plot = tracePlot({ ...request, marksOutside: true });
    expect(tonesOf(plot)).toEqual(new Set(['trace', 'bad']));
    expect(plot.rows[0]!.find(({ text }) => text.startsWith('#'))!.tone).toBe('trace');
    // Of a unit that has not failed nothing has the colour of failure.
    expect(tonesOf(tracePlot(request))).toEqual(new Set(['trace']));
  });

  it('does not jump between levels for noise about zero', () => {
    const noisy = ramp(100, (i) => (i === 10 ? 8 : i === 90 ? -8 : i % 2 === 0 ? 0.05 : -0.05));
    const lines = textOf(tracePlot({ ...frame, columns: 20, unicode: true, series: noisy }));
    const middle = lines.map((line) => line.slice(6, 16)).filter((line) => line.trim() !== '');
    expect(middle).toHaveLength(1);
    expect(new Set(middle[0])).toHaveProperty('size', 1);
  });

  it('draws half rows where the terminal has Unicode', () => {
    const lines = textOf(
      tracePlot({ ...frame, unicode: true, series: ramp(100, (i) => (i < 50 ? 0.5 : 1.5)) }),
    );
    expect(lines.join('')).toMatch(/[▀▄]/);
  });
});

describe('ring of live samples', () => {
  const slice = (fromS: number, values: number[]) => ({
    timeS: Float64Array.from(values, (_, i) => fromS + i),
    channels: { motorCurrentA: Float64Array.from(values) },
  });

  it('keeps the newest in order of time when it is full', () => {
    const store = new TraceStore(4);
    store.push(slice(0, [1, 2, 3]));
    store.push(slice(3, [4, 5, 6]));
    expect([...store.series('motorCurrentA').timeS]).toEqual([2, 3, 4, 5]);
    expect([...store.series('motorCurrentA').value]).toEqual([3, 4, 5, 6]);
    expect(store.latest('motorCurrentA')).toBe(6);
    expect(store.endS).toBe(5);
  });

  it('never shows an old value for a channel that the newest slice lacks', () => {
    const store = new TraceStore(10);
    store.push(slice(0, [1, 2]));
    store.push({ timeS: Float64Array.of(2), channels: { supplyVoltageV: Float64Array.of(12) } });
    expect(store.latest('motorCurrentA')).toBeUndefined();
    expect(store.latest('supplyVoltageV')).toBe(12);
    expect([...store.series('supplyVoltageV').value]).toEqual([Number.NaN, Number.NaN, 12]);
  });

  it('is empty after a clear', () => {
    const store = new TraceStore(10);
    store.push(slice(0, [1, 2]));
    store.clear();
    expect(store.series('motorCurrentA').timeS).toHaveLength(0);
    expect(store.latest('motorCurrentA')).toBeUndefined();
    expect(store.endS).toBe(0);
  });
});
