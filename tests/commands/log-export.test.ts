// Exports for other programs: what a spreadsheet must not work out (OWASP, CSV Injection), RFC 4180 both ways, and
// Parquet read back by another library.

import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { parquetMetadata, parquetReadObjects, parquetSchema } from 'hyparquet';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { DECIMAL_COMMA, inForm } from '../../host/commands/log-export.js';
import { command as logCommand } from '../../host/commands/verbs/log.js';
import { csvRows } from '../../host/input/index.js';
import { openStore } from '../../host/records/index.js';
import { begin, block, capture, judgement } from '../records/example-run.js';
import { call } from './call.js';

let folder: string;
let ids: string[];
const before = process.env.THROWBENCH_LOGS;
const REASONS = ['=1+1', '+43 1', '-5 °C, it says "cold"', '@home', 'a\nb, c', "'quoted'", 'plain = fine'];

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'throwbench-export-'));
  process.env.THROWBENCH_LOGS = join(folder, 'records');
  const store = openStore();
  ids = REASONS.map((sentence, i) => {
    const runId = store.beginRun(begin(`V-010${i}`, new Date(2024, 5, 11, 9, i).toISOString()));
    const plain = judgement('fail');
    const measured = {
      restLeadAVoltageV: { ...plain.measured.runningCurrentForwardA!, value: -0.5, unit: 'V' },
    };
    const taken =
      i === 1
        ? { ...block(0, 3), channels: { supplyVoltageV: Float64Array.of(13.1, Number.NaN, -0) } }
        : block(0, 2);
    const feed = i === 1 ? (['limited', 'full', 'full'] as const) : (['full', 'full'] as const);
    const sampled = { ...capture(1), ...taken, feed: [...feed] };
    const way = { moved: 'as-reverse', by: 'person', words: '=down', declared: 'up' } as const;
    const told = { ...plain, sentence, measured, ...(i === 1 ? { way } : {}) };
    store.finishRun(runId, { capture: sampled, judgement: told });
    return runId;
  });
  store.close();
});
afterAll(() => {
  if (before === undefined) delete process.env.THROWBENCH_LOGS;
  else process.env.THROWBENCH_LOGS = before;
  rmSync(folder, { recursive: true, force: true });
});
const log = (...args: string[]) => call(logCommand, args, folder);
function bytesOf(name: string): ArrayBuffer {
  const bytes = readFileSync(join(folder, name));
  return bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.length) as ArrayBuffer;
}

describe('a table for a spreadsheet', () => {
  it('reads back cell by cell, texts that begin like a formula behind an apostrophe, numbers untouched', async () => {
    const { stdout } = await log('--csv', '-');
    const [head, ...rows] = csvRows(stdout, 'x');
    const column = (name: string) => rows.map(({ cells }) => cells[head!.cells.indexOf(name)]).toReversed();
    expect(column('reason')).toEqual([
      ...["'=1+1", "'+43 1", '\'-5 °C, it says "cold"', "'@home", 'a\nb, c', "'quoted'", 'plain = fine'],
    ]);
    expect(column('restLeadAVoltageV [V]')).toEqual(REASONS.map(() => '-0.5'));
    // Last, behind all readings, so that no column that was there has moved; empty where nobody was asked.
    expect(head?.cells.at(-1)).toBe('way');
    expect(column('way')).toEqual(REASONS.map((_, i) => (i === 1 ? "'=down" : '')));
  });
});

describe('a table for a spreadsheet that wants a comma in its numbers', () => {
  it('has all the cells of the other one, numbers with commas, behind a byte order mark', async () => {
    const [plain, comma] = [await log('--csv', '-'), await log('--csv', '-', '--decimal-comma')].map(
      ({ stdout }) => stdout,
    );
    expect(comma?.startsWith('\ufeffrun;unit;')).toBe(true);
    const [cells, others] = [plain, comma].map((text) => csvRows(text ?? '', 'x').map((row) => row.cells));
    const numbers = new Set(cells?.[0]?.flatMap((head, i) => (/\[/.test(head) ? [i] : [])));
    expect(numbers.size).toBeGreaterThan(1);
    expect(others).toEqual(
      cells?.map((row) => row.map((cell, i) => (numbers.has(i) ? cell.replace('.', ',') : cell))),
    );
    expect(others?.flat()).toContain('-0,5');
    await expect(log('--decimal-comma')).rejects.toThrow('--decimal-comma goes with --csv');
  });

  it('is written of one run too, cell by cell; without the option it is as before', async () => {
    const id = ids[1] ?? '';
    const [plain, comma] = [
      await log('show', id, '--csv', '-'),
      await log('show', id, '--csv', '-', '--decimal-comma'),
    ].map(({ stdout }) => stdout);
    expect(plain?.startsWith('time_s,position,')).toBe(true);
    expect(comma?.startsWith('\ufefftime_s;position;')).toBe(true);
    expect(comma).toContain(';13,1\r\n');
    // By a plain exchange of signs: no cell of this capture is a text with a comma or a point.
    expect(comma).toBe(`\ufeff${plain?.replaceAll(',', ';').replaceAll('.', ',')}`);
    await expect(log('show', id, '--decimal-comma')).rejects.toThrow('--decimal-comma goes with --csv');
  });

  it('leaves texts as they are, quotes what has the new separator in it, and turns no version or day', () => {
    const table = 'a,"b, ""c"" 1.5",d;e\r\n1.5,-2.25e-7,1.2.3\r\n2024-06-11,,3\r\n';
    expect(inForm(table, DECIMAL_COMMA)).toBe(
      '\ufeffa;"b, ""c"" 1.5";"d;e"\r\n1,5;-2,25e-7;1.2.3\r\n2024-06-11;;3\r\n',
    );
  });
});

describe('Parquet', () => {
  it('has the same table, numbers as doubles, texts as they are', async () => {
    await log('--parquet', 'runs.parquet');
    const rows = (await parquetReadObjects({ file: bytesOf('runs.parquet') })).toReversed();
    expect(rows.map(({ reason }) => reason)).toEqual(REASONS);
    expect(rows.map((row) => row['restLeadAVoltageV [V]'])).toEqual(REASONS.map(() => -0.5));
    expect(rows[0]).toMatchObject({ run: ids[0], unit: 'V-0100', operator: null, way: null });
    expect(rows[1]).toMatchObject({ way: '=down' });
  });

  it('has the samples of all runs bit for bit, a lost one and a channel that a rig lacks as null', async () => {
    const { stderr } = await log('--captures', 'samples.parquet');
    expect(stderr).toMatch(/15 samples of 7 runs written\n$/);
    const rows = await parquetReadObjects({ file: bytesOf('samples.parquet') });
    expect(rows).toHaveLength(15);
    const second = rows.filter(({ run }) => run === ids[1]);
    expect(second.map(({ supply_V }) => supply_V)).toEqual([13.1, null, -0]);
    expect(second.map(({ feed }) => feed)).toEqual(['limited', 'full', 'full']);
    expect(second.map(({ lead_a_V }) => lead_a_V)).toEqual([null, null, null]);
    expect(rows.filter(({ run }) => run === ids[2]).map(({ motor_current_A }) => motor_current_A)).toEqual([
      0,
      1 / 8,
    ]);
    const names = parquetSchema(parquetMetadata(bytesOf('samples.parquet'))).children.map(
      ({ element }) => element.name,
    );
    expect(names).toEqual([
      ...['run', 'unit', 'time_s', 'position', 'feed', 'feed_current_A', 'motor_current_A', 'coil_current_A'],
      ...['lead_a_V', 'lead_b_V', 'supply_V'],
    ]);
  });

  it('has the capture of one run, and refuses standard output', async () => {
    await log('show', ids[1]!, '--parquet', 'one.parquet');
    expect(await parquetReadObjects({ file: bytesOf('one.parquet') })).toHaveLength(3);
    await expect(log('--captures', '-')).rejects.toThrow(
      '--captures - cannot go to standard output; name a file',
    );
    await expect(log('show', 'last', '--parquet', '-')).rejects.toThrow(/cannot go to standard output/);
  });
});
