// The CSV form of a capture: RFC 4180 (October 2005), section 2, rules 1 to 7, and what instruments really write.

import { describe, expect, it } from 'vitest';
import { readCaptureCsv } from '../../host/capture/index.js';

const HEADER = 'time_s,position,feed_current_A,motor_current_A,coil_current_A,lead_a_V,lead_b_V,supply_V';
const read = (text: string) => readCaptureCsv(text, 'bench.csv');
const fault = (text: string): string => {
  try {
    read(text);
  } catch (error) {
    expect((error as Error).name).toBe('InputError');
    expect((error as Error).message).not.toMatch(/[\r\n]/);
    return (error as Error).message;
  }
  throw new Error('read without a fault');
};

describe('reading a capture', () => {
  it('reads every channel, the position and the uniform rate', () => {
    const capture = read(
      `${HEADER}\r\n0,rest,0,0,0,0.01,0.02,13\r\n0.0002,forward,4.5,4.25,0.15,12.5,0.1,12.75\r\n0.0004,reverse,4,-4,0.15,0.1,12.5,12.75\r\n`,
    );
    expect([...capture.timeS]).toEqual([0, 0.0002, 0.0004]);
    expect(capture.position).toEqual(['rest', 'forward', 'reverse']);
    expect([...capture.channels.motorCurrentA!]).toEqual([0, 4.25, -4]);
    expect([...capture.channels.leadBVoltageV!]).toEqual([0.02, 0.1, 12.5]);
    expect(capture.sampleRateHz).toBe(5000);
    expect(capture.gaps).toEqual([]);
    expect(capture.notes).toEqual([]);
    expect(capture.positionKnown).toBeUndefined();
  });

  it.each([
    ['CRLF (rule 1)', '\r\n'],
    ['LF', '\n'],
    ['CR', '\r'],
  ])('reads lines that end in %s', (_name, end) => {
    const capture = read(['time_s,lead_a_V', '0,1', '0.1,2', '0.2,3', ''].join(end));
    expect([...capture.channels.leadAVoltageV!]).toEqual([1, 2, 3]);
  });

  // How oscilloscopes and loggers head their seconds (common practice, no source).
  it.each(['t', 'Time', 'time (s)', 'TIME [s]', 'Second', 'seconds', 's', 'x-axis'])(
    'takes a column %s for the seconds, and says so',
    (name) => {
      const capture = read(`${name},motor_current_A\n0,1\n0.1,2\n0.2,3\n`);
      expect([...capture.timeS]).toEqual([0, 0.1, 0.2]);
      expect([...capture.channels.motorCurrentA!]).toEqual([1, 2, 3]);
      expect(capture.notes).toContain(`Column '${name}' was taken as the time in seconds.`);
      expect(capture.extraColumns ?? {}).toEqual({});
    },
  );

  it.each(['Date', 'samples'])('does not guess at a column %s', (name) => {
    expect(fault(`${name},motor_current_A\n0,1\n0.1,2\n`)).toMatch(/^bench\.csv:1: no column time_s; /);
  });

  it('does not choose between two columns of seconds', () => {
    expect(fault('t,time,motor_current_A\n0,0,1\n0.1,0.1,2\n')).toBe(
      "bench.csv:1: 't' and 'time' may both be the time; say which: --time-column 't' or --time-column 'time'",
    );
  });

  it('says how to name the current where no column is known', () => {
    expect(fault('t,CH1\n0,1\n0.1,2\n')).toMatch(/or tell the motor's with --current-column$/);
  });

  it('does without a line break after the last record (rule 2)', () => {
    expect([...read('time_s,lead_a_V\r\n0,1\r\n0.1,2').channels.leadAVoltageV!]).toEqual([1, 2]);
  });

  it('takes quotes, commas and line breaks inside quoted fields (rules 5 to 7)', () => {
    const capture = read(
      'time_s,lead_a_V,"remark, free"\r\n"0","1.5","said ""go"", then\r\nwaited"\r\n0.1,2,plain\r\n',
    );
    expect(capture.extraColumns).toEqual({ 'remark, free': ['said "go", then\r\nwaited', 'plain'] });
    expect([...capture.channels.leadAVoltageV!]).toEqual([1.5, 2]);
  });

  it('counts the lines of a quoted field when it names a later line', () => {
    expect(fault('time_s,lead_a_V,remark\n0,1,"two\nlines"\n0.1,oops,\n')).toMatch(
      /^bench\.csv:4: lead_a_V: 'oops' is not a number; /,
    );
  });

  it('keeps spaces of an unknown column as part of the field (rule 4)', () => {
    expect(read('time_s,lead_a_V,note\n0,1, a b \n').extraColumns).toEqual({ note: [' a b '] });
  });

  it('skips a byte order mark and takes column names in any case', () => {
    expect([...read('\ufeffTime_s,Lead_A_V\n0,1\n1,2\n').channels.leadAVoltageV!]).toEqual([1, 2]);
  });

  it('leaves an absent channel absent', () => {
    expect(Object.keys(read('time_s,position,motor_current_A\n0,rest,0\n1,rest,0\n').channels)).toEqual([
      'motorCurrentA',
    ]);
  });

  it('says that positions are not known when their column is absent', () => {
    const capture = read('time_s,motor_current_A\n0,0\n1,0\n');
    expect(capture.positionKnown).toBe(false);
    expect(capture.position).toEqual(['rest', 'rest']);
    expect(capture.notes).toEqual(['The file does not tell the positions thrown.']);
  });

  it('holds the position through empty cells and says so', () => {
    const capture = read('time_s,position,lead_a_V\n0,rest,0\n1,forward,12\n2,,12\n3,rest,0\n');
    expect(capture.position).toEqual(['rest', 'forward', 'forward', 'rest']);
    expect(capture.notes).toEqual(['1 empty positions were taken as the one before.']);
  });

  it('keeps empty cells as gaps of their channels', () => {
    const capture = read('time_s,lead_a_V,lead_b_V\n0,1,1\n1,,1\n2,,\n3,1,\n4,1,1\n');
    expect([...capture.channels.leadAVoltageV!]).toEqual([1, Number.NaN, Number.NaN, 1, 1]);
    expect(capture.gaps).toEqual([
      { fromS: 1, toS: 3, channels: ['leadAVoltageV'], reason: 'empty cells' },
      { fromS: 2, toS: 4, channels: ['leadBVoltageV'], reason: 'empty cells' },
    ]);
  });

  it('tells one gap without channels where all are missing', () => {
    const { gaps } = read('time_s,lead_a_V,lead_b_V\n0,1,1\n1,,\n2,,NaN\n3,1,1\n');
    expect(gaps).toEqual([{ fromS: 1, toS: 3, reason: 'empty cells' }]);
  });

  it('reads semicolons with decimal commas and notes it', () => {
    const capture = read(
      'time_s;position;motor_current_A\r\n0;rest;0,0\r\n0,5;forward;4,25\r\n1;rest;-1,5e-1\r\n',
    );
    expect([...capture.channels.motorCurrentA!]).toEqual([0, 4.25, -0.15]);
    expect([...capture.timeS]).toEqual([0, 0.5, 1]);
    expect(capture.notes).toEqual(['Decimal commas were read as decimal points.']);
  });

  it('reads semicolons or tabs with decimal points', () => {
    for (const separator of [';', '\t']) {
      const text = 'time_s,lead_a_V\n0,0.5\n1,1.5\n'.replaceAll(',', separator);
      expect([...read(text).channels.leadAVoltageV!]).toEqual([0.5, 1.5]);
    }
  });

  it('notes a column that is nearly a known one', () => {
    const capture = read('time_s,position,lead_a_V,moter_current_A\n0,rest,1,2\n1,rest,1,2\n');
    expect(capture.extraColumns).toEqual({ moter_current_A: ['2', '2'] });
    expect(capture.notes).toEqual([
      "Column 'moter_current_A' is not known and was not read; was motor_current_A meant?",
    ]);
  });
});

describe('a capture that cannot be read', () => {
  it.each([
    ['an empty file', '', 'bench.csv: is empty; start it with the header time_s,position,feed_current_A,…'],
    ['a header alone', `${HEADER}\n`, 'bench.csv:1: no sample follows the header; add rows of samples'],
    [
      'no time column',
      'tme_s,lead_a_V\n0,1\n',
      "bench.csv:1: no column time_s; rename column 'tme_s' to time_s",
    ],
    [
      'no known channel',
      'time_s,moter_current_A\n0,1\n',
      'bench.csv:1: no column holds a current or voltage; did you mean motor_current_A?',
    ],
    [
      'a column twice',
      'time_s,lead_a_V,LEAD_A_V\n0,1,1\n',
      'bench.csv:1: lead_a_V: this column stands twice; keep one of them',
    ],
    [
      'a time twice',
      'time_s,lead_a_V\n0,1\n0.1,1\n0.1,1\n',
      'bench.csv:4: time_s: the time 0.1 stands twice; write times that increase from row to row, with enough decimals',
    ],
    [
      'a time that goes back',
      'time_s,lead_a_V\n0.2,1\n0.1,1\n',
      'bench.csv:3: time_s: the time goes back from 0.2 to 0.1; write times that increase from row to row, with enough decimals',
    ],
    [
      'a missing time',
      'time_s,lead_a_V\n0,1\n,1\n',
      'bench.csv:3: time_s: the time is missing; write seconds, such as 0.0002',
    ],
    [
      'a word for a number',
      'time_s,lead_a_V\n0,high\n',
      "bench.csv:2: lead_a_V: 'high' is not a number; write a number, or leave the cell empty where there is no sample",
    ],
    [
      'an infinite number',
      'time_s,lead_a_V\n0,1e999\n',
      "bench.csv:2: lead_a_V: '1e999' is not a number; write a number, or leave the cell empty where there is no sample",
    ],
    [
      'a hexadecimal number',
      'time_s,lead_a_V\n0,0x10\n',
      "bench.csv:2: lead_a_V: '0x10' is not a number; write a number, or leave the cell empty where there is no sample",
    ],
    [
      'decimal commas between commas',
      'time_s,lead_a_V\n0,5,1,5\n',
      'bench.csv:2: 4 fields where the header has 2; write decimal points (or separate the columns by semicolons), and put text with commas in quotes',
    ],
    [
      'a quoted decimal comma',
      'time_s,lead_a_V\n0,"1,5"\n',
      "bench.csv:2: lead_a_V: '1,5' is not a number; write a decimal point, or separate the columns by semicolons",
    ],
    [
      'a row cut off',
      'time_s,lead_a_V,lead_b_V\n0,1,1\n1,1',
      'bench.csv:3: 2 fields where the header has 3; fill the row with empty cells; the file may be cut off here',
    ],
    [
      'an unknown position',
      'time_s,position,lead_a_V\n0,foward,1\n',
      "bench.csv:2: position: 'foward' is no position; did you mean forward?",
    ],
    [
      'a first position missing',
      'time_s,position,lead_a_V\n0,,1\n',
      'bench.csv:2: position: the position is missing; write rest, forward, reverse',
    ],
    [
      'a quote never closed',
      'time_s,lead_a_V\n0,1\n1,"2\n',
      'bench.csv:3: a quote is never closed; close it, or double a quote that belongs to the text',
    ],
    [
      'a quote inside a field',
      'time_s,lead_a_V,note\n0,1,a"b\n',
      'bench.csv:2: a quote stands inside a field; put the whole field in quotes and double the quote',
    ],
    [
      'text after a quote',
      'time_s,lead_a_V,note\n0,1,"a"b\n',
      'bench.csv:2: text follows a closing quote; put the whole field in quotes',
    ],
    [
      'an escape sequence in a cell',
      'time_s,lead_a_V\n0,\u001b[2J\n',
      "bench.csv:2: lead_a_V: '\\u001b[2J' is not a number; write a number, or leave the cell empty where there is no sample",
    ],
  ])('names place, fault and mend for %s', (_name, text, message) => {
    expect(fault(text)).toBe(message);
  });
});
