// One voltage read across both leads, as two probes of an oscilloscope or a hand logger give it, and a lone voltage of
// which the heading says nothing. The motor is integrated outside the program by the textbook equations
// (tests/references/outside-motor.ts), so that its resistance is known; names of columns are common practice, no source.

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { mappingOf, readCaptureCsv, writeCaptureCsv } from '../../host/capture/index.js';
import { judge } from '../../host/judge/index.js';
import { fitMotor, measure } from '../../host/measure/index.js';
import { loadUnit } from '../../host/profile/index.js';
import { expectationOf } from '../judge/known-expectations.js';
import { asSeen, outsideRun, WINDOW_MOTOR } from '../references/outside-motor.js';

const SEED = 7411;
const { timeS, channels } = asSeen(
  outsideRun({
    throws: [
      [0.2, 1.2, 1],
      [1.9, 2.9, -1],
    ],
    lasts: 3.6,
    brakes: true,
  }),
  ['motorCurrentA', 'leadAVoltageV', 'leadBVoltageV', 'supplyVoltageV'],
  { seed: SEED },
);
const at = (name: keyof typeof channels) => (row: number) => channels[name]?.[row] ?? Number.NaN;
const [current, a, b, supply] = [
  at('motorCurrentA'),
  at('leadAVoltageV'),
  at('leadBVoltageV'),
  at('supplyVoltageV'),
];
const across = (row: number): number => a(row) - b(row);

const table = (head: string, ...cells: ((row: number) => number)[]): string =>
  `${head}\n${Array.from(timeS, (t, row) => [t.toFixed(4), ...cells.map((cell) => cell(row).toFixed(3))].join(',')).join('\n')}\n`;

describe('a voltage across the motor', () => {
  it.each([
    'time (s),current (A),motor voltage (V)',
    'time,I_motor,V_motor',
    't [s],I [A],Umot [V]',
    'time (s),current (A),voltage across motor (V)',
    'time (s),current (A),terminal voltage (V)',
  ])('is read from %s, and where either lead stands is not known', (head) => {
    const capture = readCaptureCsv(table(head, current, across), 'scope.csv');
    expect(capture.leadsByDifference).toBe(true);
    const { leadAVoltageV = [], leadBVoltageV = [] } = capture.channels;
    for (const row of [500, 3000, 12_000])
      expect((leadAVoltageV[row] ?? 0) - (leadBVoltageV[row] ?? 0)).toBeCloseTo(across(row), 2);
    const { measured, notSampled } = measure(capture);
    expect(notSampled).toEqual(expect.arrayContaining(['leadAVoltageV', 'leadBVoltageV']));
    expect(measured.forwardMotorVoltageV?.value).toBeCloseTo(across(5000), 1);
    expect(measured.reverseMotorVoltageV?.value).toBeCloseTo(across(13_500), 1);
    expect(Object.keys(measured).filter((key) => /lead|drop/i.test(key) && !/dropouts/i.test(key))).toEqual(
      [],
    );
  });

  it('gives the motor’s own resistance and back-EMF', () => {
    const { model } = fitMotor(readCaptureCsv(table('time,current,motor voltage', current, across), 'x.csv'));
    const { resistanceOhm, backEmfVsPerRad } = model;
    const { resistanceOhm: ohm } = WINDOW_MOTOR;
    expect(Math.abs((resistanceOhm?.value ?? 0) - ohm)).toBeLessThan(resistanceOhm?.expandedUncertainty ?? 0);
    expect(resistanceOhm?.expandedUncertainty).toBeLessThan(0.05 * ohm);
    expect(backEmfVsPerRad?.value ?? WINDOW_MOTOR.backEmfVsPerRad).toBeCloseTo(
      WINDOW_MOTOR.backEmfVsPerRad,
      2,
    );
  });

  it('reads back as what it is after it was written', () => {
    const capture = readCaptureCsv(table('time,current,motor voltage', current, across), 'x.csv');
    const again = readCaptureCsv(writeCaptureCsv(capture).toString('utf8'), 'again.csv');
    expect(again.leadsByDifference).toBe(true);
    expect(again.channels.leadBVoltageV?.[12_000]).toBeCloseTo(
      capture.channels.leadBVoltageV?.[12_000] ?? 0,
      9,
    );
  });

  it('accuses no healthy unit, and speaks of no lead', () => {
    const unit = loadUnit('window-lift-switch');
    const csv = table('time (s),current (A),supply (V),motor voltage (V)', current, supply, across);
    const judged = judge({
      ...{ unit, capture: readCaptureCsv(csv, 'scope.csv') },
      expectation: expectationOf(unit, 40),
    });
    expect(judged.verdict, judged.sentence).toBe('cannot-tell');
    expect(judged.findings[0]?.id).toBe('healthy');
    const polarity = judged.checks.filter(({ kind }) => kind.id === 'polarity');
    expect(polarity.map(({ outcome }) => outcome)).toEqual(['pass', 'pass']);
    const ofLeads = judged.checks.filter(({ sentence }) =>
      /^(?:Forward: )?lead [AB]|traces? of lead/i.test(sentence),
    );
    expect(ofLeads.every(({ outcome }) => outcome === 'not-tested')).toBe(true);
  });

  it('is asked for by its role, and not beside a lead by itself', () => {
    const csv = table('time,current,x,y', current, across, a);
    const told = (...asked: string[]) => ({
      columns: asked.map((text) => mappingOf(text)).flatMap((one) => (typeof one === 'string' ? [] : [one])),
    });
    expect(readCaptureCsv(csv, 'x.csv', told('motor-voltage=x')).leadsByDifference).toBe(true);
    expect(() => readCaptureCsv(csv, 'x.csv', told('motor-voltage=x', 'lead-a=y'))).toThrow(
      /tell one or the other/,
    );
    expect(() =>
      readCaptureCsv(table('time,current,motor voltage,V_motor', current, across, a), 'x.csv'),
    ).toThrow(/may both be the motor voltage/);
  });
});

describe('a lone voltage of which nothing is said', () => {
  const read = (of: (row: number) => number, head = 'time,current,voltage') =>
    readCaptureCsv(table(head, current, of), 'x.csv');

  it('is the motor’s where it comes, goes and turns with the current, and that is told', () => {
    const { leadsByDifference, notes } = read(across);
    expect(leadsByDifference).toBe(true);
    expect(notes.join(' ')).toContain("'voltage' comes and goes with the current");
  });

  it('is the supply where it stands without a current too, and that is told', () => {
    const { channels: found, leadsByDifference, notes } = read(supply);
    expect(leadsByDifference).toBeUndefined();
    expect(found.supplyVoltageV?.[100]).toBeCloseTo(13, 1);
    expect(notes.join(' ')).toContain('it was taken as the supply');
  });

  it('is left alone where it behaves as neither, whatever it holds', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(
          a,
          b,
          (row: number) => Math.sin(row),
          () => 0,
          () => 0.3,
        ),
        (of) => {
          const { channels: found, leadsByDifference, notes } = read(of);
          expect(leadsByDifference).toBeUndefined();
          expect(found.leadAVoltageV).toBeUndefined();
          expect(found.supplyVoltageV).toBeUndefined();
          expect(notes.join(' ')).toContain("Column 'voltage' looks like a voltage and was not used");
        },
      ),
      { numRuns: 10 },
    );
  });
});
