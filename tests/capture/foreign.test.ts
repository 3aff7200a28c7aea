// Exports of other instruments, written by hand after the shapes that oscilloscopes, loggers and converters in general
// give (common practice, no source): the same numbers come out in SI units, and what can be read two ways is refused.

import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { ReadOptions } from '../../host/capture/index.js';
import { readCaptureCsv, readCaptureFile } from '../../host/capture/index.js';
import { unitOf } from '../../host/capture/units.js';

const read = (text: string, options: ReadOptions = {}) => readCaptureCsv(text, 'export.csv', options);
const fault = (text: string, options: ReadOptions = {}): string => {
  try {
    read(text, options);
  } catch (error) {
    expect((error as Error).name).toBe('InputError');
    expect((error as Error).message).not.toMatch(/[\r\n]/);
    return (error as Error).message;
  }
  throw new Error('read without a fault');
};
const motor = (text: string, options: ReadOptions = {}): number[] => [
  ...read(text, options).channels.motorCurrentA!,
];

describe('times without a unit', () => {
  const rows = (stepTold: number, heading = 'time'): string =>
    [
      `${heading},current (A)`,
      ...Array.from({ length: 300 }, (_, k) => `${(k * stepTold).toFixed(4)},${k % 7}.5`),
    ].join('\n');

  it('are refused with both readings where a step of seconds would be too slow for a start', () => {
    expect(fault(rows(0.2))).toMatch(/says no unit: a sample every 0\.2 s, or every 0\.2 ms.*--time-scale/);
    expect(
      read(rows(0.2), { timeScale: { kind: 'time', name: 'ms', up: 1, down: 1000 } }).sampleRateHz,
    ).toBeCloseTo(5000, 6);
    expect(read(rows(0.2, 'time (ms)')).sampleRateHz).toBeCloseTo(5000, 6);
  });

  it('are seconds where those make a record of a start', () => {
    expect(read(rows(0.0002)).sampleRateHz).toBeCloseTo(5000, 6);
  });
});

describe('units', () => {
  // SI brochure, 9th edition: prefixes of table 7, symbols of table 4.
  it.each([
    ['mA', 'current', 1e-3],
    ['ma', 'current', 1e-3],
    ['Milliamps', 'current', 1e-3],
    ['A', 'current', 1],
    ['Amps', 'current', 1],
    ['ADC', 'current', 1],
    ['kA', 'current', 1e3],
    ['uA', 'current', 1e-6],
    ['\u00b5A', 'current', 1e-6],
    ['V', 'voltage', 1],
    ['VDC', 'voltage', 1],
    ['Volt', 'voltage', 1],
    ['mV', 'voltage', 1e-3],
    ['kV', 'voltage', 1e3],
    ['s', 'time', 1],
    ['Sec', 'time', 1],
    ['ms', 'time', 1e-3],
    ['msec', 'time', 1e-3],
    ['us', 'time', 1e-6],
    ['\u00b5s', 'time', 1e-6],
    ['\u03bcs', 'time', 1e-6],
    ['ns', 'time', 1e-9],
    ['min', 'time', 60],
    ['h', 'time', 3600],
    ['°C', 'other', 1],
    ['rpm', 'other', 1],
  ])('knows %s as %s', (word, kind, si) => {
    const unit = unitOf(word)!;
    expect(unit.kind).toBe(kind);
    expect(unit.up / unit.down).toBe(si);
  });

  it.each(['MA', 'MV', 'x', 'CH1', 'Lead', ''])('does not take %s for a unit', (word) => {
    expect(unitOf(word)).toBeUndefined();
  });
});

describe('headings', () => {
  it.each([
    'Current (mA)',
    'I[mA]',
    'I (mA)',
    'ch1 in mA',
    '"Current, mA"',
    'current_mA',
    'Current mA',
    'currentMa',
    'I/mA',
    'Current / mA',
    'Motor current [mA]',
    'motor_current_mA',
    'CURRENT (MA)',
    'Channel A (mA)',
    'mA',
    'CH1 {mA}',
    'Imot (mA)',
    'Current (mA) CH1',
    'Milliamps',
  ])('reads a current headed %s', (heading) => {
    expect(motor(`Time (s),${heading}\n0,0\n0.1,1500\n0.2,-250\n`)).toEqual([0, 1.5, -0.25]);
  });

  it.each([
    ['Time (ms)', '0,100,200'],
    ['Time [ms]', '0,100,200'],
    ['time_ms', '0,100,200'],
    ['t/ms', '0,100,200'],
    ['t in ms', '0,100,200'],
    ['"Time, ms"', '0,100,200'],
    ['ms', '0,100,200'],
    ['Elapsed (ms)', '0,100,200'],
    ['timeMs', '0,100,200'],
    ['Time (\u00b5s)', '0,100000,200000'],
    ['Time (\u03bcs)', '0,1e5,2e5'],
    ['Time (us)', '0,1E+05,2E+05'],
    ['x-axis (s)', '0,0.1,0.2'],
    ['Time (S)', '0,0.1,0.2'],
    ['Second', '0,0.1,0.2'],
    ['Relative time [s]', '0,0.1,0.2'],
    ['Time Stamp (s)', '0,0.1,0.2'],
  ])('reads times headed %s', (heading, cells) => {
    const rows = cells.split(',').map((cell, k) => `${cell},${k}`);
    const { timeS } = read(`${heading},Current (A)\n${rows.join('\n')}\n`);
    for (const [k, wanted] of [0, 0.1, 0.2].entries()) expect(timeS[k]).toBeCloseTo(wanted, 12);
  });

  it.each([
    ['Feed current (A)', 'feedCurrentA'],
    ['Supply current (A)', 'feedCurrentA'],
    ['Battery current [A]', 'feedCurrentA'],
    ['Coil current (A)', 'coilCurrentA'],
    ['Supply (V)', 'supplyVoltageV'],
    ['Battery voltage (V)', 'supplyVoltageV'],
    ['Vbat [V]', 'supplyVoltageV'],
    ['Lead A (V)', 'leadAVoltageV'],
    ['lead_b [V]', 'leadBVoltageV'],
    ['Terminal B voltage (V)', 'leadBVoltageV'],
  ])('takes %s for what it says', (heading, channel) => {
    expect(Object.keys(read(`t,${heading}\n0,1\n0.1,2\n`).channels)).toEqual([channel]);
  });

  it('takes a letter behind a mark for a name, not for amperes', () => {
    expect(fault('t,Channel A\n0,1\n0.1,2\n')).toMatch(/no column holds a current or voltage/);
  });

  it('says of a column that looks wanted that it was not used', () => {
    const { notes } = read('t,Current (A),CH2 (V)\n0,1,12\n0.1,2,12\n');
    expect(notes).toContain(
      "Column 'CH2 (V)' looks like a voltage and was not used; say what it is, such as --column 'motor-voltage=CH2 (V)' or 'supply=CH2 (V)'.",
    );
  });

  it('says which columns of other things were not read, and is silent about counts and speeds', () => {
    const { notes } = read('No.,t,Current (A),D0,Temp (C),speed_rpm\n1,0,1,0,22,0\n2,0.1,2,1,22,9\n');
    expect(notes).toContain("Not read, as nothing here needs them: 'D0' and 'Temp (C)'.");
    expect(read('t,Current (A)\n0,1\n0.1,2\n').notes.join(' ')).not.toMatch(/Not read/);
  });

  it('tells in one line what was understood', () => {
    const { notes } = read('Time (ms);Current (mA);Battery (V)\n0;1000;12,5\n0,2;1500;12,5\n0,4;900;12,4\n');
    expect(notes[0]).toBe(
      "Read 3 rows, 5000 a second, 0.0004 s: time from 'Time (ms)' in ms, feed current from 'x' in A.".replace(
        "feed current from 'x' in A",
        "motor current from 'Current (mA)' in mA (x 0.001), supply voltage from 'Battery (V)' in V",
      ),
    );
  });
});

const RAMP = Array.from({ length: 40 }, (_, k) => k);

describe('shapes of files', () => {
  it('reads a preamble with commas of its own, names, a row of units and trailing separators', () => {
    const text = [
      'Recorder,"bench, left"',
      'Comment,window motor, second try, cold',
      'Sample Interval,0.0002,s',
      'Date,2026-11-29',
      '',
      'Time,Channel 1,Channel 2,',
      '(ms),(mA),(V),',
      ...RAMP.map((k) => `${k / 5 - 1},${100 * k},12.5,`),
    ].join('\r\n');
    const capture = read(text, { columns: [{ channel: 'supplyVoltageV', column: 'Channel 2' }] });
    expect(capture.sampleRateHz).toBe(5000);
    expect(capture.timeS[0]).toBe(-0.001);
    expect([...capture.channels.motorCurrentA!]).toEqual(RAMP.map((k) => k / 10));
    expect(capture.channels.supplyVoltageV![7]).toBe(12.5);
  });

  it('reads an oscilloscope that heads its columns with numbers over a row of units', () => {
    const rows = RAMP.map((k) => `${(-0.004 + k * 2e-4).toExponential(6)},${(k / 4).toExponential(4)}`);
    const capture = read(`x-axis,1\nsecond,Ampere\n${rows.join('\n')}\n`);
    expect(capture.sampleRateHz).toBe(5000);
    expect(capture.channels.motorCurrentA![8]).toBe(2);
  });

  it('reads an oscilloscope that writes what it tells beside the first rows', () => {
    const beside = ['Record Length,40,', 'Sample Interval,0.0002,', 'Vertical Units,A,', 'Note,x,'];
    const rows = RAMP.map((k) => `${beside[k] ?? ',,'},${(k * 2e-4).toFixed(6)},${k / 4},`);
    const capture = read(`${rows.join('\n')}\n`);
    expect(capture.sampleRateHz).toBe(5000);
    expect(capture.channels.motorCurrentA![8]).toBe(2);
  });

  it('takes the rate from the preamble where the first column only counts', () => {
    const rows = RAMP.map((k) => `${k},${k / 4}`);
    const capture = read(`Sampling rate: 5 kHz\nSample,Current (A)\n${rows.join('\n')}\n`);
    expect(capture.sampleRateHz).toBe(5000);
    expect(capture.notes.join(' ')).toContain("'Sampling rate'");
    const other = read(`Increment (us),200\nX,CH1 (A)\n${rows.join('\n')}\n`);
    expect(other.sampleRateHz).toBe(5000);
  });

  it('takes the unit of the times from the sample interval', () => {
    const rows = RAMP.map((k) => `${k / 5},${k / 4}`);
    expect(read(`Sample interval,0.0002 s\nTime,Current (A)\n${rows.join('\n')}\n`).sampleRateHz).toBe(5000);
  });

  it.each([
    ['semicolons and decimal commas', 'Zeit (s);Strom [A]\n', ';', ','],
    ['tabs and decimal commas', 'Time (s)\tCurrent (A)\n', '\t', ','],
    ['tabs and decimal points', 'Time (s)\tCurrent (A)\n', '\t', '.'],
    ['bars', 'Time (s)|Current (A)\n', '|', '.'],
    ['blanks', 'Time(s)   Current(A)\n', '   ', '.'],
    ['blanks, with blanks in the headings', '  Time (s)    Current (A)\n', '   ', '.'],
    ['blanks and decimal commas', 'Time(s) Current(A)\n', ' ', ','],
    ['commas and blanks', 'Time (s), Current (A)\n', ', ', '.'],
  ])('reads %s', (_name, header, separator, point) => {
    const rows = RAMP.map((k) =>
      [(k * 2e-4).toFixed(4), (k / 4).toFixed(2)].join(separator).replaceAll('.', point),
    );
    const capture = read(
      `${header}${rows.map((row) => (separator.startsWith(' ') ? `  ${row} ` : row)).join('\n')}\n`,
    );
    expect(capture.sampleRateHz).toBe(5000);
    expect([...capture.channels.motorCurrentA!]).toEqual(RAMP.map((k) => k / 4));
  });

  it('reads quoted decimal commas between commas', () => {
    expect(motor('"Time (s)","Current (A)"\n"0,0","1,5"\n"0,1","2,25"\n')).toEqual([1.5, 2.25]);
  });

  it('follows a line that names the separator', () => {
    expect(motor('sep=;\r\nTime (s);Current (A)\r\n0;1,5\r\n0,1;2,25\r\n')).toEqual([1.5, 2.25]);
  });

  it('takes remarks above, between and below the rows for remarks, and headings out of one', () => {
    const capture = read('# bench 2\n# time (s), current (mA)\n0,100\n# pause\n0.1,200\n0.2,300\n# end\n');
    expect([...capture.channels.motorCurrentA!]).toEqual([0.1, 0.2, 0.3]);
    expect(capture.notes).toContain('2 lines of remarks between the rows were passed over.');
  });

  it.each([
    ['ISO 8601', (ms: number) => `2026-11-29T10:00:00.${ms}`],
    ['blank between', (ms: number) => `2026-11-29 10:00:00.${ms}`],
    ['day first', (ms: number) => `29.11.2026 10:00:00.${ms}`],
    ['month first', (ms: number) => `11/29/2026 10:00:00.${ms} PM`],
    ['time of day', (ms: number) => `10:00:00.${ms}`],
  ])('reads date and time, %s', (_name, stamp) => {
    const rows = RAMP.map((k) => `${stamp(100 + 2 * k)},${k}`);
    const capture = read(`Timestamp,Current (A)\n${rows.join('\n')}\n`);
    expect(capture.sampleRateHz).toBe(500);
    expect(capture.timeS[0]).toBe(0);
  });

  it('joins a column of dates and one of times, and goes on past midnight', () => {
    const rows = ['29.11.2026;23:59:59,5;1', '30.11.2026;00:00:00,0;2', '30.11.2026;00:00:00,5;3'];
    expect([...read(`Date;Time;Current (A)\n${rows.join('\n')}\n`).timeS]).toEqual([0, 0.5, 1]);
    const clock = ['23:59:59.5,1', '00:00:00.0,2', '00:00:00.5,3'];
    expect([...read(`Time,Current (A)\n${clock.join('\n')}\n`).timeS]).toEqual([0, 0.5, 1]);
  });

  it('counts seconds or milliseconds since 1970 from the first sample', () => {
    for (const [base, step] of [
      [1_764_410_400, 0.002],
      [1_764_410_400_000, 2],
    ] as const) {
      const capture = read(
        `timestamp,Current (A)\n${RAMP.map((k) => `${base + k * step},${k}`).join('\n')}\n`,
      );
      expect(capture.timeS[0]).toBe(0);
      expect(capture.timeS[39]).toBeCloseTo(0.078, 6);
    }
  });

  it('keeps marks for no reading as gaps, and one beyond the range as at least the outermost reading', () => {
    const capture = read(
      'Time (s),Current (A)\n0,1\n1,NaN\n2,---\n3,9.91E+37\n4,N/A\n5,4.5\n6,OL\n7,9.9E37\n8,2\n',
    );
    const values = [...capture.channels.motorCurrentA!];
    expect(values.slice(1, 5).every(Number.isNaN)).toBe(true);
    expect(values.slice(5)).toEqual([4.5, 4.5, 4.5, 2]);
    expect(capture.beyondRange).toEqual({ motorCurrentA: { above: 4.5 } });
    expect(capture.notes.join(' ')).toMatch(
      /2 readings of the motor current were beyond the range .* at least 4\.5 A/,
    );
  });

  it('reads cells that bring their own unit', () => {
    expect(motor('Time,Current\n0 ms,850 mA\n100 ms,1.2 A\n200 ms,900 mA\n')).toEqual([0.85, 1.2, 0.9]);
  });

  it('reads a column by name or number, with a unit or a factor', () => {
    const text = 'Time (s),CH1,CH2\n0,100,12\n0.1,200,12\n';
    expect(
      motor(text, { columns: [{ channel: 'motorCurrentA', column: 'CH1', unit: unitOf('mA')! }] }),
    ).toEqual([0.1, 0.2]);
    expect(motor(text, { columns: [{ channel: 'motorCurrentA', column: '2', factor: 0.1 }] })).toEqual([
      10, 20,
    ]);
  });

  it('takes the volts of a clamp by its amperes a volt', () => {
    const text = 'Time (s),CH1 (mV)\n0,100\n0.1,250\n';
    expect(motor(text, { currentColumn: 'CH1', currentScale: 10 })).toEqual([1, 2.5]);
    expect(fault(text, { currentColumn: 'CH1' })).toMatch(
      /is in mV, which is no current; give --current-scale/,
    );
    expect(fault('Time (s),Current (mV)\n0,100\n0.1,250\n')).toMatch(
      /headed as a current but is in mV; give --current-scale/,
    );
  });

  it('skips the lines that it is told to', () => {
    expect(motor('1,2\n3,4\nTime (s),Current (A)\n0,5\n1,6\n', { skipRows: 2 })).toEqual([5, 6]);
  });

  it('leaves sample numbers out when the rate is told', () => {
    const text = `Sample,Current (A)\n${RAMP.map((k) => `${k},${k}`).join('\n')}\n`;
    expect(read(text, { sampleRateHz: 1000 }).sampleRateHz).toBe(1000);
  });
});

describe('what can be read two ways', () => {
  it.each([
    [
      'two currents',
      'Time (s),CH1 (A),CH2 (A)\n0,1,2\n1,1,2\n',
      /'CH1 \(A\)' and 'CH2 \(A\)' may both be the motor current; .*--column 'motor=CH1 \(A\)'/,
    ],
    [
      'two times',
      'Time (s),Time (ms),I (A)\n0,0,1\n1,1000,1\n',
      /'Time \(s\)' and 'Time \(ms\)' may both be the time; .*--time-column/,
    ],
    [
      'heading against row of units',
      'Time (s),Current (A)\ns,mA\n0,1\n1,1\n',
      /in A by its heading and in mA by the row of units/,
    ],
    [
      'a large current without unit',
      'Time (s),Current\n0,1\n1,4500\n',
      /4500 may be A or mA; say --column 'motor=Current:mA'/,
    ],
    [
      'thousands or decimals',
      'Time (s);Current (A)\n0;1,250\n1;2,500\n',
      /'1,250' may be 1\.250 or, with a comma for thousands, 1250; say --decimal comma/,
    ],
    [
      'decimal commas between commas',
      'Time (s),Current (A)\n0,5,1,25\n0,6,1,50\n',
      /4 fields where the header has 2: either there are 4 columns, or the commas are decimal/,
    ],
    [
      'whole numbers without unit',
      `Time,Current (A)\n${RAMP.map((k) => `${k},${k}`).join('\n')}\n`,
      /may be seconds, milliseconds or the number of the sample; say --time-scale/,
    ],
    ['a current in volts', 'Time (s),Motor voltage (A)\n0,1\n1,1\n', /speaks of a voltage and is in A/],
    [
      'thousands points and decimal commas',
      'Time (s);Current (mA)\n0,1;1.250,5\n0,2;1.300,5\n',
      /thousands separators/,
    ],
    [
      'two sample intervals',
      'dt,0.001 s\nSample rate,5000 Hz\nN,Current (A)\n0,1\n1,2\n',
      /0\.001 s a sample \('dt'\) and 0\.0002 s/,
    ],
    [
      'stamps coarser than the samples',
      'Time,I (A)\n10:00:00,1\n10:00:00,2\n10:00:01,3\n',
      /stands twice; .*--time-column none with --sample-rate/,
    ],
    ['no table', 'hello\nworld\n', /no table of numbers was found/],
  ])('is refused: %s', (_name, text, message) => {
    expect(fault(text)).toMatch(message);
  });

  it('is read by the option that decides', () => {
    expect(motor('Time (s);Current (A)\n0;1,250\n1;2,500\n', { decimal: 'comma' })).toEqual([1.25, 2.5]);
    const whole = `Time,Current (A)\n${RAMP.map((k) => `${k},${k}`).join('\n')}\n`;
    expect(read(whole, { timeScale: unitOf('ms')! }).sampleRateHz).toBe(1000);
    expect(read(whole, { timeColumn: 'none', sampleRateHz: 200 }).sampleRateHz).toBe(200);
    const two = 'Time (s),Time (ms),I (A)\n0,0,1\n1,1000,1\n';
    expect([...read(two, { timeColumn: 'Time (ms)' }).timeS]).toEqual([0, 1]);
  });
});

describe('encodings', () => {
  let folder: string;
  beforeAll(() => {
    folder = mkdtempSync(join(tmpdir(), 'throwbench-foreign-'));
  });
  afterAll(() => rmSync(folder, { recursive: true, force: true }));
  const text = `Time (\u00b5s),Current (mA)\r\n${RAMP.map((k) => `${200 * k},${250 * k}`).join('\r\n')}\r\n`;
  const swapped = (bytes: Buffer): Buffer => Buffer.from(bytes).swap16();
  it.each([
    ['UTF-8', Buffer.from(text)],
    ['UTF-8 with a mark', Buffer.from(`\ufeff${text}`)],
    ['UTF-16 LE with a mark', Buffer.from(`\ufeff${text}`, 'utf16le')],
    ['UTF-16 BE with a mark', swapped(Buffer.from(`\ufeff${text}`, 'utf16le'))],
    ['UTF-16 LE without', Buffer.from(text, 'utf16le')],
    ['UTF-16 BE without', swapped(Buffer.from(text, 'utf16le'))],
    ['Latin-1', Buffer.from(text, 'latin1')],
  ])('reads %s', (_name, bytes) => {
    const path = join(folder, 'export.csv');
    writeFileSync(path, bytes);
    const capture = readCaptureFile(path);
    expect(capture.sampleRateHz).toBe(5000);
    expect([...capture.channels.motorCurrentA!]).toEqual(RAMP.map((k) => k / 4));
  });

  it('refuses a spreadsheet by what it is', () => {
    const path = join(folder, 'export.xlsx');
    writeFileSync(path, Buffer.from([0x50, 0x4b, 3, 4, 0, 0, 0, 0]));
    expect(() => readCaptureFile(path)).toThrow(/is a spreadsheet or an archive, not text; export it as CSV/);
  });
});
