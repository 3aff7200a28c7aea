// A healthy motor that nobody has numbers of, by a current alone or nearly so: integrated outside the program
// (tests/references/outside-motor.ts, textbook equations), written as other people's loggers write it.

import { describe, expect, it } from 'vitest';
import { readCaptureCsv } from '../../host/capture/index.js';
import { judge } from '../../host/judge/index.js';
import { loadUnit } from '../../host/profile/index.js';
import { asSeen, type OutsideRun, outsideRun, type WINDOW_MOTOR } from '../references/outside-motor.js';
import { expectationOf } from './known-expectations.js';

const SEED = 6402;
const unknown = loadUnit('entry-step-relays', undefined, { motor: 'unknown' });

/** Other than the one that profiles ship: slower to run up, with more resistance. */
const OTHER: Partial<typeof WINDOW_MOTOR> = {
  ...{ resistanceOhm: 0.8, backEmfVsPerRad: 0.022, torqueNmPerA: 0.022, inertiaKgM2: 6e-5 },
  ...{ viscousNms: 4e-5, frictionNm: 0.05 },
};
const RUN: OutsideRun = {
  throws: [
    [0.2, 1.2, 1],
    [1.9, 2.9, -1],
  ],
  lasts: 3.6,
  motor: OTHER,
  brakes: true,
};

const told = (csv: string, unit = unknown) =>
  judge({ unit, capture: readCaptureCsv(csv, 'logger.csv'), expectation: expectationOf(unit, 40) });

/** Rows of `columns` by their headings. */
function table(run: OutsideRun, columns: Record<string, (row: number) => string>): string {
  const { timeS } = outsideRun(run);
  const rows = Array.from(timeS, (atS, row) =>
    [atS.toFixed(4), ...Object.values(columns).map((cell) => cell(row))].join(','),
  );
  return `time (s),${Object.keys(columns).join(',')}\n${rows.join('\n')}\n`;
}

const currentOf = (run: OutsideRun): ((row: number) => string) => {
  const { motorCurrentA } = asSeen(outsideRun(run), ['motorCurrentA'], { seed: SEED }).channels;
  return (row) => (motorCurrentA?.[row] ?? 0).toFixed(3);
};

/** Every cause by itself, those told in a group too, that is held likelier than not. */
const likely = ({ findings }: ReturnType<typeof told>): string[] =>
  findings
    .flatMap(({ id, likelihood, causes }): { id: string; likelihood: number }[] => [
      ...(causes ?? [{ id, likelihood }]),
    ])
    .filter(({ id, likelihood }) => likelihood >= 0.5 && id !== 'healthy')
    .map(({ id }) => id);

describe('a healthy motor without a sheet', () => {
  it('by one current of one throw accuses neither unit nor supply', () => {
    const once: OutsideRun = { ...RUN, throws: RUN.throws.slice(0, 1), lasts: 1.7 };
    const found = told(table(once, { 'current (A)': currentOf(once) }));
    expect(found.verdict).toBe('cannot-tell');
    expect(likely(found)).toEqual([]);
    expect(found.findings[0]?.id).toBe('healthy');
  });

  it('is judged beside a supply that the logger read in every fiftieth row', () => {
    const { channels } = outsideRun(RUN);
    const supply = (row: number): string =>
      row % 50 === 0 ? (channels.supplyVoltageV[row] ?? 0).toFixed(2) : '';
    const csv = table(RUN, { 'current (A)': currentOf(RUN), 'supply (V)': supply });
    expect(readCaptureCsv(csv, 'logger.csv').notes.join(' ')).toMatch(
      /supply voltage was read in 360 of 18000 rows only, 100 times a second: in between it is drawn straight/i,
    );
    const found = told(csv);
    expect(likely(found)).toEqual([]);
    expect(found.findings[0]?.id).toBe('healthy');
  });

  it('accuses nobody where nothing was thrown', () => {
    const still = table(
      { ...RUN, throws: [] },
      { 'current (A)': (row) => (0.02 * Math.sin(row)).toFixed(3) },
    );
    const found = told(still);
    expect(found.verdict).toBe('cannot-tell');
    expect(found.findings).toEqual([]);
    expect(found.sentence).toContain('No throw is seen in this capture');
  });

  it('is not graded down for a start while its shaft still turned the other way', () => {
    const quick: OutsideRun = {
      ...{ ...RUN, lasts: 3 },
      throws: [
        [0.2, 1.2, 1],
        [1.2, 2.4, -1],
      ],
    };
    const { channels } = asSeen(
      outsideRun(quick),
      ['motorCurrentA', 'leadAVoltageV', 'leadBVoltageV', 'supplyVoltageV'],
      { seed: SEED },
    );
    const cell = (values: Float64Array | undefined) => (row: number) => (values?.[row] ?? 0).toFixed(3);
    const found = told(
      table(quick, {
        'current (A)': cell(channels.motorCurrentA),
        'lead A (V)': cell(channels.leadAVoltageV),
        'lead B (V)': cell(channels.leadBVoltageV),
        'supply (V)': cell(channels.supplyVoltageV),
      }),
    );
    expect(found.checks.some(({ kind }) => kind.id === 'reversal')).toBe(true);
    expect(found.grade?.reasons.find(({ about }) => about === 'directions')?.grade).not.toBe('poor');
    expect(found.grade?.grade).not.toBe('poor');
  });

  it('counts starts that were repeated one way as that', () => {
    const three: OutsideRun = {
      ...RUN,
      throws: [
        [0.2, 0.9, 1],
        [1.4, 2.1, 1],
        [2.6, 3.3, 1],
      ],
    };
    const found = told(table(three, { 'current (A)': currentOf(three) }));
    const starts = found.grade?.reasons.find(({ about }) => about === 'starts');
    expect(starts?.sentence).toMatch(/^3 starts forward repeat within \d %/);
  });
});
