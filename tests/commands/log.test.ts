// `throwbench log` on a store of its own: what is told, exit codes, and what is never written.

import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Sqlite from 'better-sqlite3';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { readCaptureCsv } from '../../host/capture/index.js';
import type { CommandIo } from '../../host/commands/index.js';
import { command as logCommand } from '../../host/commands/verbs/log.js';
import { openStore } from '../../host/records/index.js';
import { begin, block, capture, judgement } from '../records/example-run.js';
import { call } from './call.js';

let folder: string;
let store: string;
let ids: string[];
const before = process.env.THROWBENCH_LOGS;

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'throwbench-log-'));
  store = join(folder, 'records');
  process.env.THROWBENCH_LOGS = store;
  const records = openStore();
  ids = ['V-0101', 'V-0102', 'V-0101'].map((tag, i) => {
    const runId = records.beginRun(begin(tag, new Date(2024, 5, 11, 9, i).toISOString()));
    records.finishRun(runId, {
      capture: capture(50),
      judgement: judgement(i === 1 ? 'fail' : 'pass'),
      counters: { crcErrors: 0 },
    });
    return runId;
  });
  const aborted = records.beginRun(begin('V-0103', new Date(2024, 5, 11, 10).toISOString()));
  records.appendSamples(aborted, [block(0, 30)]);
  records.abortRun(aborted, { reason: 'The rig was\nunplugged \u001b[2J.' });
  const empty = records.beginRun(begin('V-0104', new Date(2024, 5, 11, 11).toISOString()));
  records.abortRun(empty, { reason: 'No sample came.' });
  ids.push(aborted, empty);
  records.close();
});
afterAll(() => {
  if (before === undefined) delete process.env.THROWBENCH_LOGS;
  else process.env.THROWBENCH_LOGS = before;
  rmSync(folder, { recursive: true, force: true });
});

async function log(args: string[], terminal: Partial<CommandIo> = {}) {
  const { code, stdout, stderr } = await call(logCommand, args, folder, terminal);
  return { code, out: stdout, err: stderr };
}
const fault = async (args: string[]) =>
  log(args).then(
    () => 'nothing',
    (error: Error) => `${error.name}: ${error.message}`,
  );

describe('log', () => {
  it('finds a run by the tag of its unit, in any case, and tells the tag that was meant', async () => {
    const newest = (await log(['show', ids[2] ?? ''])).out;
    expect((await log(['show', 'V-0101'])).out).toBe(newest);
    expect((await log(['show', 'v-0101'])).out).toBe(newest);
    expect((await log(['show', 'LAST'])).out).toBe((await log(['show', 'last'])).out);
    expect((await log(['--unit', 'v-0102'])).out).toContain('V-0102');
    expect(await fault(['show', 'V-0102x'])).toBe('InputError: V-0102x: no such run; did you mean V-0102?');
  });

  it('lists runs newest first, one a line, control characters shown', async () => {
    const { code, out } = await log([]);
    expect(code).toBe(0);
    const lines = out.trimEnd().split('\n');
    expect(lines).toHaveLength(6);
    expect(lines[0]).toMatch(/^run +when +unit +verdict +profile +reason$/);
    expect(lines[2]).toBe(
      '2024-06-11-0004  2024-06-11 10:00:00  V-0103  CANNOT TELL (aborted)  roof-vent-switch  The rig was unplugged \\u001b[2J.',
    );
    expect(lines[4]).toMatch(/^2024-06-11-0002 .* V-0102 {2}FAIL /);
  });

  it('filters by unit and limit, and says when there are more', async () => {
    expect((await log(['--unit', 'V-0101', '--limit', '1'])).out).toMatch(
      /0003[\s\S]*more than these 1; --limit N shows more\n$/,
    );
    expect((await log(['--unit', 'V-9999'])).out).toMatch(/^no runs with --unit V-9999 recorded in /);
  });

  it('cuts lines to the terminal’s width', async () => {
    const { out } = await log([], { isTty: true, columns: 60 });
    expect(Math.max(...out.split('\n').map((line) => line.length))).toBe(60);
  });

  it('gives programs JSON, absent values left out', async () => {
    const runs = JSON.parse((await log(['--json', '--unit', 'V-0102'])).out);
    expect(runs).toEqual([
      {
        runId: ids[1],
        tag: 'V-0102',
        profileId: 'roof-vent-switch',
        profileTitle: 'Roof vent on its six-terminal switch',
        rigId: 'bench-1',
        startedAt: new Date(2024, 5, 11, 9, 1).toISOString(),
        endedAt: expect.any(String),
        zone: Intl.DateTimeFormat().resolvedOptions().timeZone,
        utcOffsetMin: 0 - new Date(2024, 5, 11).getTimezoneOffset(),
        status: 'finished',
        verdict: 'fail',
        sentence: 'Runs 1.5 A both ways and coasts when released.',
      },
    ]);
  });
});

describe('log show', () => {
  it('shows the record with its judgement', async () => {
    const { code, out } = await log(['show', ids[1]!]);
    expect(code).toBe(0);
    expect(out).toMatch(/^run {6}2024-06-11-0002$/m);
    expect(out).toMatch(/^unit {5}V-0102, Roof vent on its six-terminal switch$/m);
    expect(out).toMatch(/^rig {6}bench-1, reference-rig, firmware 1\.0\.0, protocol 1, on virtual$/m);
    expect(out).toMatch(/^FAIL {2}Runs 1\.5 A both ways/m);
    expect(out).toContain('Running current forward 1.52 A, expected 1.2 to 1.8 A.');
    expect(out).toMatch(/^hash {5}[0-9a-f]{64}$/m);
  });

  it('shows an aborted run with its reason, and takes last for an id', async () => {
    const { out } = await log(['show', 'last']);
    expect(out).toMatch(/^CANNOT TELL \(aborted\) {2}No sample came\.$/m);
  });

  it('gives programs the keys of judge --json and the profile as it was', async () => {
    const run = JSON.parse((await log(['show', ids[0]!, '--json'])).out);
    expect(run).toMatchObject({
      runId: ids[0],
      status: 'finished',
      verdict: 'pass',
      samples: 50,
      counters: { crcErrors: 0 },
      profile: { unit: { id: 'roof-vent-switch' }, motor: { id: 'roof-vent' } },
    });
    expect(run.checks[0]).toMatchObject({
      id: 'running-current-forward',
      value: 1.52,
      unit: 'A',
      outcome: 'pass',
    });
    expect(run.measured.runningCurrentForwardA).toMatchObject({
      value: 1.52,
      unit: 'A',
      expandedUncertainty: 0.03,
    });
  });

  it('writes the capture to a new file, whole, and never over another', async () => {
    const { code, err } = await log(['show', ids[0]!, '--csv', 'run.csv']);
    expect({ code, err }).toMatchObject({
      code: 0,
      err: expect.stringMatching(/run\.csv: 50 samples written\n$/),
    });
    const path = join(folder, 'run.csv');
    const back = readCaptureCsv(readFileSync(path, 'utf8'), 'run.csv');
    expect(back.channels).toEqual(capture(50).channels);
    expect(back.timeS).toEqual(capture(50).timeS);
    writeFileSync(path, 'mine');
    expect(await fault(['show', ids[0]!, '--csv', 'run.csv'])).toBe(
      'InputError: run.csv: exists already; choose a new name',
    );
    expect(readFileSync(path, 'utf8')).toBe('mine');
  });

  it('draws the run as a picture, to a new file or to standard output', async () => {
    const { err } = await log(['show', ids[0]!, '--svg', 'run.svg']);
    expect(err).toMatch(/run\.svg: picture written\n$/);
    const svg = readFileSync(join(folder, 'run.svg'), 'utf8');
    expect(svg).toMatch(/^<svg /);
    expect(svg).toContain('V-0101, Roof vent on its six-terminal switch');
    expect((await log(['show', ids[0]!, '--svg', '-'])).out).toBe(svg);
    expect(await fault(['show', ids[0]!, '--svg', 'run.svg'])).toBe(
      'InputError: run.svg: exists already; choose a new name',
    );
    expect(await fault(['show', ids[4]!, '--svg', 'none.svg'])).toBe(
      `InputError: ${ids[4]}: this run has no samples; choose a run that has some`,
    );
  });

  it('draws the band of good units of that day behind the traces where it is asked for', async () => {
    const bare = (await log(['show', ids[0]!, '--svg', '-'])).out;
    const { out } = await log(['show', ids[0]!, '--svg', '-', '--draws', '3']);
    expect(out).toContain('band of 3 good units');
    expect(out.match(/<polygon/g)?.length ?? 0).toBeGreaterThan(bare.match(/<polygon/g)?.length ?? 0);
    expect(await fault(['show', ids[0]!, '--draws', '3'])).toBe('UsageError: --draws goes with --svg');
  });

  it('writes the sheet as HTML and as PDF, of a run without samples too, saying what it lacks', async () => {
    const { err } = await log([
      ...['show', ids[1]!, '--html', 'run.html', '--pdf', 'run.pdf', '--paper', 'Letter'],
      ...['--shop', 'Vans at the mill; Mill Lane 3'],
    ]);
    expect(err).toMatch(/run\.html: sheet written\n.*run\.pdf: sheet written\n$/);
    const html = readFileSync(join(folder, 'run.html'), 'utf8');
    expect(html).toContain('<h1>V-0102</h1>');
    expect(html).toContain('Vans at the mill');
    expect(html).toContain('Mill Lane 3');
    expect(html).toMatch(/none noted before this run/);
    expect(readFileSync(join(folder, 'run.pdf')).toString('latin1', 0, 5)).toBe('%PDF-');
    expect((await log(['show', ids[4]!, '--html', 'empty.html'])).err).toMatch(
      /sheet written, without a picture: the run has no samples\n$/,
    );
  });

  it('takes shop and paper from the settings where they are not given', async () => {
    const settings = join(folder, 'settings.yaml');
    writeFileSync(settings, 'shop: Vans at the ford; Ford Lane 1\npaper: letter\n');
    process.env.THROWBENCH_SETTINGS = settings;
    try {
      const { out } = await log(['show', ids[0]!, '--html', '-']);
      expect(out).toContain('Ford Lane 1');
      expect(out).toContain('size: letter');
      const given = (await log(['show', ids[0]!, '--html', '-', '--shop', 'X', '--paper', 'a4'])).out;
      expect(given).not.toContain('Ford Lane 1');
      expect(given).toContain('size: A4');
      const six = ['show', ids[0]!, '--html', '-', '--shop', 'a;b;c;d;e;f'];
      expect(await fault(six)).toBe('UsageError: the shop has 6 lines; a sheet has room for 5');
    } finally {
      delete process.env.THROWBENCH_SETTINGS;
    }
  });

  it('tells earlier runs of the unit on its sheet, no later ones', async () => {
    const first = (await log(['show', ids[0]!, '--html', '-'])).out;
    const third = (await log(['show', ids[2]!, '--html', '-'])).out;
    expect(first).not.toContain('Story of this unit');
    expect(third).toMatch(/Story of this unit[\s\S]*2024-06-11 09:00:00 {2}run 2024-06-11-0001 {2}PASS/);
  });

  it('finds a run by the code of its sheet, and refuses a code that is not the record’s', async () => {
    const anchor = /anchor ([0-9a-f]{12})</.exec((await log(['show', ids[0]!, '--html', '-'])).out)?.[1];
    expect((await log(['show', `${ids[0]}/${anchor}`])).out).toMatch(/^run {6}2024-06-11-0001$/m);
    expect(await fault(['show', `${ids[0]}/0123456789ab`])).toBe(
      `InputError: ${ids[0]}/0123456789ab: the run's anchor is ${anchor}: the sheet is of another store, or its record was changed; throwbench log verify tells which`,
    );
  });

  it('leaves no half file where it cannot write', async () => {
    expect(await fault(['show', ids[0]!, '--csv', 'no-such-folder/run.csv'])).toBe(
      'InputError: no-such-folder/run.csv: cannot be written (ENOENT); check folder, permissions and space',
    );
    expect(readdirSync(folder).filter((name) => name.endsWith('.part'))).toEqual([]);
  });

  it('writes the capture to standard output alone', async () => {
    const { out } = await log(['show', ids[3]!, '--csv', '-']);
    expect(out).toMatch(/^time_s,position,motor_current_A,lead_a_V\r\n/);
    expect(out.trimEnd().split('\r\n')).toHaveLength(31);
  });

  it.each([
    [['show', 'nothing'], 'InputError: nothing: no such run; throwbench log lists the runs'],
    [['show'], 'UsageError: log show needs a RUN: an id from throwbench log, or last'],
    [['show', 'last', 'more'], 'UsageError: "more" is one word too many'],
    [['show', 'last', '--limit', '3'], 'UsageError: --limit does not go with log show'],
    [['show', 'last', '--csv', '-', '--json'], 'UsageError: --csv - and --json both want standard output'],
    [
      ['show', 'last', '--csv', '-', '--svg', '-'],
      'UsageError: --csv - and --svg - both want standard output',
    ],
    [['show', 'last', '--pdf', '-'], 'UsageError: --pdf - cannot go to standard output; name a file'],
    [['show', 'last', '--paper', 'a4'], 'UsageError: --paper goes with --html or --pdf'],
    [['show', 'last', '--pdf', 'x.pdf', '--paper', 'A3'], "UsageError: --paper 'A3' should be a4 or letter"],
    [['show', 'last', '--shop', 'x'], 'UsageError: --shop goes with --html or --pdf'],
    [['--limit', 'all'], "UsageError: --limit 'all' should be a whole number from 1 to 1000000, such as 50"],
    [['--limit', '0'], "UsageError: --limit '0' should be a whole number from 1 to 1000000, such as 50"],
    [['shwo', 'last'], 'UsageError: unknown word "shwo" after log'],
  ])('refuses %j in one line', async (args, message) => {
    expect(await fault(args)).toBe(message);
  });

  it('says when a run has no samples to write', async () => {
    expect(await fault(['show', ids[4]!, '--csv', 'none.csv'])).toBe(
      `InputError: ${ids[4]}: this run has no samples; choose a run that has some`,
    );
    expect(existsSync(join(folder, 'none.csv'))).toBe(false);
  });
});

describe('log verify', () => {
  it('passes an untouched store and tells its last hash', async () => {
    const { code, out } = await log(['verify']);
    expect(code).toBe(0);
    expect(out).toMatch(
      /^store in .*\nclosed runs: 5, each as it was when it was closed\nlast hash ([0-9a-f]{12})[0-9a-f]{52}\nanchor \1\nchain: holds\nsignatures: none; log key new makes a key for the shop\n$/,
    );
  });

  it('fails a store whose verdict was changed by hand, with exit code 1', async () => {
    const database = new Sqlite(join(store, 'throwbench.sqlite'));
    database.prepare("UPDATE runs SET verdict = 'pass' WHERE id = ?").run(ids[1]);
    try {
      const { code, out } = await log(['verify']);
      expect(code).toBe(1);
      expect(out.split('\n').slice(1).join('\n')).toBe(
        `${ids[1]}: its record was changed after it was closed\nchain: does NOT hold; faults: 1, in 5 closed runs\nsignatures: none; log key new makes a key for the shop\n`,
      );
      expect(JSON.parse((await log(['verify', '--json'])).out).faults).toHaveLength(1);
    } finally {
      database.prepare("UPDATE runs SET verdict = 'fail' WHERE id = ?").run(ids[1]);
      database.close();
    }
  });
});

describe('log verify with an anchor', () => {
  it('tells where it stands, and fails when no record has it', async () => {
    const { out } = await log(['verify']);
    const anchor = /^anchor ([0-9a-f]{12})$/m.exec(out)?.[1] ?? '';
    const found = await log(['verify', '--expect', anchor]);
    expect(found.code).toBe(0);
    expect(found.out).toMatch(
      new RegExp(`anchor ${anchor}: in the chain, .*; the newest record\\nsignatures: none`),
    );
    const missing = await log(['verify', '--expect', '0123456789ab']);
    expect(missing.code).toBe(1);
    expect(missing.out).toContain('NOT in the chain');
    expect(await fault(['verify', '--expect', 'xyz'])).toMatch(
      /^UsageError: --expect 'xyz' should be an anchor/,
    );
  });
});

describe('log show for a customer and for the workshop', () => {
  it('keeps counters, samples and the whole hash under a heading of their own, behind the judgement', async () => {
    const { out } = await log(['show', ids[1]!]);
    const [customer, workshop] = out.split('\nFor the workshop:\n');
    expect(customer).toMatch(/^anchor {3}[0-9a-f]{12}$/m);
    expect(customer).not.toMatch(/^(samples|link|program|hash)/m);
    expect(workshop).toMatch(/^program .*\nsamples {2}50\nhash {5}[0-9a-f]{64}\n$/m);
  });

  it('shows the lines of the link only where they are asked for', async () => {
    expect((await log(['show', ids[1]!, '--raw'])).out).toMatch(/Lines of the link: none were kept\.\n$/);
    expect((await log(['show', ids[1]!])).out).not.toContain('Lines of the link');
  });
});

describe('log without a store', () => {
  it('says so and makes none', async () => {
    const nowhere = join(folder, 'nowhere');
    process.env.THROWBENCH_LOGS = nowhere;
    try {
      expect(await log([])).toMatchObject({ code: 0, out: expect.stringMatching(/^no runs recorded in /) });
      expect((await log(['--json'])).out).toBe('[]\n');
      const verified = await log(['verify']);
      expect(verified.code).toBe(0);
      expect(verified.out).toMatch(/^no store in .*nowhere: nothing was verified\n$/);
      expect((await log(['verify', '--expect', '0123456789ab'])).code).toBe(1);
      expect(await fault(['show', 'last'])).toMatch(
        /^InputError: last: no runs are recorded in .*; throwbench log lists the runs$/,
      );
      expect(existsSync(nowhere)).toBe(false);
    } finally {
      process.env.THROWBENCH_LOGS = store;
    }
  });
});
