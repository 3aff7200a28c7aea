// `job` and `unit`: lists from spreadsheets, stories, decisions, corrections; and `log` and the sheet that tell of them.

import { execFileSync } from 'node:child_process';
import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { Command } from '../../host/commands/command.js';
import { command as job } from '../../host/commands/verbs/job.js';
import { command as log } from '../../host/commands/verbs/log.js';
import { command as unit } from '../../host/commands/verbs/unit.js';
import { loadTray } from '../../host/profile/index.js';
import { openStore } from '../../host/records/index.js';
import { begin, capture, judgement } from '../records/example-run.js';
import { call } from './call.js';

let folder: string;
const before = { logs: process.env.THROWBENCH_LOGS, key: process.env.THROWBENCH_KEY };
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'throwbench-shop-'));
  process.env.THROWBENCH_LOGS = join(folder, 'records');
  process.env.THROWBENCH_KEY = join(folder, 'key.pem');
});
afterEach(() => {
  for (const [name, value] of [
    ['THROWBENCH_LOGS', before.logs],
    ['THROWBENCH_KEY', before.key],
  ] as const)
    if (value === undefined) delete process.env[name];
    else process.env[name] = value;
  rmSync(folder, { recursive: true, force: true });
});

const out = async (verb: Command, ...args: string[]) => (await call(verb, args, folder)).stdout;
const json = async (verb: Command, ...args: string[]) => JSON.parse(await out(verb, ...args, '--json'));
const fault = (verb: Command, ...args: string[]) =>
  call(verb, args, folder).then(
    () => 'nothing',
    (error: Error) => error.message,
  );
/** Seen as a GIF by its beginning, in plain letters. */
const PICTURE = 'GIF89a, worn to the lead';
const put = (name: string, text: string | Uint8Array): string => {
  writeFileSync(join(folder, name), text);
  return name;
};
function tested(tag: string, verdict: 'pass' | 'fail' = 'fail'): string {
  const store = openStore();
  const runId = store.beginRun({ ...begin(tag, new Date().toISOString()), operator: 'day shift' });
  store.finishRun(runId, { capture: capture(10), judgement: judgement(verdict) });
  store.close();
  return runId;
}

const LIST =
  '\ufefftag;Job;note;profile\r\nV-0101;31;"front; left";roof-vent-switch\r\n\r\nV-0102;;"said ""slow""\nand wet";entry-step-relays\r\n';

describe('job import', () => {
  it('takes a spreadsheet as it comes: byte order mark, semicolons, quotes, line breaks and empty rows (RFC 4180)', async () => {
    expect(await json(job, 'import', put('list.csv', LIST), '--job', '32')).toMatchObject({
      units: 2,
      listed: 2,
    });
    expect((await json(job, 'show', '31')).units).toEqual([
      { tag: 'V-0101', note: 'front; left', profile: 'roof-vent-switch', runs: 0 },
    ]);
    expect((await json(job, 'show', '32')).units).toMatchObject([
      { tag: 'V-0102', note: 'said "slow" and wet' },
    ]);
  });

  it('takes what else a spreadsheet writes: a line that names the separator, UTF-16 by its mark', async () => {
    const list = 'Tag;Job;Colour\r\nV-0103;31;blue\r\n';
    expect(await json(job, 'import', put('named.csv', `\ufeffsep=;\r\n${list}`))).toMatchObject({
      listed: 1,
      notRead: ['Colour'],
    });
    const wide = Buffer.from(`\ufeff${list.replaceAll(';', '\t').replace('V-0103', 'V-0104')}`, 'utf16le');
    expect(await json(job, 'import', put('wide.txt', wide))).toMatchObject({ listed: 1 });
    const { stdout } = await call(job, ['import', 'named.csv'], folder);
    expect(stdout).toBe(
      'named.csv: units listed 0, corrected 0, as before 1\ncolumns not read: Colour; read are tag, job, profile, note\n',
    );
  });

  it.each([
    ['heads as people write them', 'Tag No.;JOB #;Remarks:\nV-0105;31;front\n'],
    ['a title above the head', 'Units of November;;\n;;\nUnit number;Work order;Comment\nV-0105;31;front\n'],
  ])('takes %s', async (_what, list) => {
    expect(await json(job, 'import', put('odd.csv', list))).toMatchObject({ listed: 1, notRead: [] });
    expect((await json(job, 'show', '31')).units).toEqual([{ tag: 'V-0105', note: 'front', runs: 0 }]);
  });

  it('takes a tag in another case for the unit that is listed', async () => {
    await json(job, 'import', put('list.csv', 'tag,job,note\nV-0101,31,front\n'));
    await json(job, 'import', put('again.csv', 'tag,job,note\nv-0101,31,rear\n'));
    expect((await json(job, 'show', '31')).units).toEqual([{ tag: 'V-0101', note: 'rear', runs: 0 }]);
  });

  it('of 3,000 units is shown and listed in moments: each unit is not looked for by itself', async () => {
    const rows = Array.from({ length: 3000 }, (_, i) => `W-${i},77,bay ${i % 40}\n`);
    await json(job, 'import', put('long.csv', `tag,job,note\n${rows.join('')}`));
    tested('W-7');
    const began = process.cpuUsage();
    const shown = await json(job, 'show', '77');
    const jobs = await json(job);
    // Time of the processor, not of a busy machine: looked for one by one they take many seconds.
    expect(process.cpuUsage(began).user / 1e6).toBeLessThan(2);
    expect(shown.units).toHaveLength(3000);
    expect(shown.units[7]).toMatchObject({ tag: 'W-7', runs: 1, verdict: 'fail' });
    expect(jobs).toMatchObject([{ job: '77', units: 3000, tested: 1, passed: 0 }]);
  });

  it('brought in again corrects what changed and leaves the rest', async () => {
    await json(job, 'import', put('list.csv', 'tag,job,note\nV-0101,31,front\nV-0102,31,rear\n'));
    const told = await json(
      job,
      'import',
      put('again.csv', 'tag\tjob\tnote\nV-0101\t31\tfront\nV-0102\t31\tside\nV-0103\t31\t\n'),
    );
    expect(told).toMatchObject({ units: 3, listed: 1, corrected: 1, asBefore: 1 });
    expect((await json(job, 'show', '31')).units.map(({ note = '' }) => note)).toEqual(['front', 'side', '']);
    expect((await json(log, 'verify')).shopEntries).toBe(4);
  });

  it.each([
    [
      'tag,job\nV-0101,31\nV-0101,31\n',
      'list.csv:3: tag: V-0101 stands in line 2 already; list each unit once a job',
    ],
    [
      'tag,job\nV-0101,31\nv-0101,31\n',
      'list.csv:3: tag: V-0101 stands in line 2 already; list each unit once a job',
    ],
    [
      'tag,job,note\nV-0101,31,front\nV-0102,31,front, left\n',
      'list.csv:3: has 4 cells, the head 3; put quotation marks round a text that holds the separator, or head that column',
    ],
    ['sep=;\ntag;job\nV-0101;\n', 'list.csv:3: job: the job is missing; write it there, or give --job JOB'],
    [
      'PK\x03\x04 and so on',
      "list.csv: is a spreadsheet's own file, no CSV; in the spreadsheet, save it as CSV UTF-8",
    ],
    ['tag,job\nV-0101,\n', 'list.csv:2: job: the job is missing; write it there, or give --job JOB'],
    ['unit,order,profile\nV-0101,31,no-such\n', /^list\.csv:2: profile: no-such: /],
    [
      'job,note\n31,x\n',
      'list.csv:1: no column is headed tag, but job, note; head the columns tag, job, profile, note',
    ],
    ['tag,job,unit\nV-1,31,V-1\n', 'list.csv:1: unit: two columns mean the same; keep one of them'],
    ['tag,job\n"V-0101,31\n', 'list.csv:2: a quotation mark is opened and never closed; close it'],
    [`tag,job\n${'V'.repeat(25)},31\n`, 'list.csv:2: tag: the tag has 25 characters; use 24 at the most'],
    ['tag,job\n', /^list\.csv: lists no unit; /],
    [Uint8Array.of(0x74, 0x61, 0x67, 0x0a, 0xe4), /^list\.csv: is not UTF-8 text/],
  ])('refuses %j whole, in one line', async (text, message) => {
    const told = await fault(job, 'import', put('list.csv', text));
    if (typeof message === 'string') expect(told).toBe(message);
    else expect(told).toMatch(message);
    expect(await json(job)).toEqual([]);
  });

  it('makes a list that tray reads', async () => {
    await json(job, 'import', put('list.csv', LIST), '--job', '31');
    await call(job, ['tray', '31', '--out', 'tray.yaml'], folder);
    expect(loadTray(join(folder, 'tray.yaml')).units).toEqual([
      { tag: 'V-0101', profile: 'roof-vent-switch', note: 'front; left' },
      { tag: 'V-0102', profile: 'entry-step-relays', note: 'said "slow" and wet' },
    ]);
  });
});

describe('the story of a unit', () => {
  it('tells what was written, runs and decisions by time, corrected entries by their newest words', async () => {
    await out(unit, 'received', 'V-0107', 'does not come in', '--by', 'day shift');
    const first = tested('V-0107');
    await out(unit, 'decide', 'v-0107', 'rework', 'coil of K2 open', '--by', 'day shift');
    await out(unit, 'part', 'V-0107', 'relay K1', '--number', '4711');
    await out(unit, 'correct', 'V-0107', '2', 'relay K2');
    await out(unit, 'note', 'V-0107', 'wrong unit');
    await out(unit, 'withdraw', 'V-0107', '4', 'of another unit');
    const second = tested('V-0107', 'pass');
    await out(unit, 'shipped', 'V-0107');
    const { story } = await json(unit, 'show', 'v-0107');
    expect(story.map(({ what }: { what: string }) => what)).toEqual([
      ...['as received', `run ${first}`, 'decided', 'part', `run ${second}`, 'as shipped'],
    ]);
    // What was taken back is no part of what stands, and on no sheet; who looks at the unit sees that it was.
    expect(await out(unit, 'show', 'V-0107')).toMatch(
      /^20\S+ \S+ +withdrawn +note 4: wrong unit; because of another unit$/m,
    );
    expect(await out(log, 'show', second, '--html', '-')).not.toContain('wrong unit');
    expect(story[2].text).toBe('to be reworked; coil of K2 open; day shift');
    expect(story[3]).toMatchObject({ entry: 3, text: expect.stringMatching(/^relay K2; corrected 20/) });
    expect(await json(log, 'verify')).toMatchObject({ runs: 2, dispositions: 1, shopEntries: 6, faults: [] });
    expect(await out(unit, 'show', 'V-0107')).toMatch(
      /decided +to be reworked; coil of K2 open; day shift\n/,
    );
    expect(await out(log, 'show', first)).toMatch(
      /^decided +to be reworked: coil of K2 open \(day shift\)$/m,
    );
    const sheet = await out(log, 'show', second, '--html', '-');
    for (const words of ['as received', 'does not come in', 'relay K2', 'coil of K2 open'])
      expect(sheet).toContain(words);
  });

  it('takes a winter morning: a number below zero is no option', async () => {
    await out(unit, 'ambient', 'V-0107', '-5');
    expect(await out(unit, 'show', 'V-0107')).toContain('ambient  -5 °C');
  });

  it('is corrected once in each place, and not beyond what is there', async () => {
    await out(unit, 'note', 'V-0107', 'one');
    await out(unit, 'correct', 'V-0107', '1', 'two');
    expect(await fault(unit, 'correct', 'V-0107', '1', 'three')).toBe(
      'V-0107: entry 1 was corrected by entry 2 already; correct entry 2',
    );
    expect(await fault(unit, 'withdraw', 'V-0107', '9', 'x')).toMatch(/^V-0107: has no entry 9;/);
    expect(await fault(unit, 'decide', 'V-0107', 'accept', 'x')).toMatch(/^V-0107: has no run yet;/);
    expect(await fault(unit, 'decide', 'V-0107', 'acept', 'x')).toBe('unknown decision "acept"');
    expect(await fault(unit, 'show', 'V-9999')).toBe('V-9999: no such unit; throwbench unit lists them');
    expect(await fault(unit, 'note', 'V-0107', 'a\u001bb')).toMatch(/cannot be kept/);
  });

  it('keeps a photo under its hash, and verify finds it changed or gone', async () => {
    put('front.GIF', PICTURE);
    await out(unit, 'photo', 'V-0107', 'front.GIF', 'as received');
    const photos = join(folder, 'records', 'photos');
    const [name] = readdirSync(photos);
    // By another program than ours: sha256sum of GNU coreutils.
    const [sha256] = execFileSync('sha256sum', [join(folder, 'front.GIF')], { encoding: 'utf8' }).split(' ');
    expect(name).toBe(`${sha256}.gif`);
    expect(await json(log, 'verify')).toMatchObject({ photos: [] });
    writeFileSync(join(photos, name!), PICTURE.toLowerCase());
    expect(await call(log, ['verify'], folder)).toMatchObject({
      ...{ code: 1, stdout: expect.stringMatching(/^unit V-0107: a photo of it was changed$/m) },
    });
    rmSync(join(photos, name!));
    expect((await json(log, 'verify')).photos).toEqual([
      { tag: 'V-0107', sentence: 'a photo of it is gone' },
    ]);
  });
});

describe('a file that is no picture', () => {
  it.each([
    ['invoice.jpg', '%PDF-1.7\n%âãÏÓ'],
    ['notes.png', 'BMW? no: a motor of 12 V, worn'],
    ['half.jpg', 'PN'],
  ])('is refused in one line that says what is taken: %s', async (name, content) => {
    put(name, content);
    expect(await fault(unit, 'photo', 'V-0107', name)).toBe(
      `${name}: is no picture; name a photo: JPEG, PNG, HEIC, WebP, AVIF, GIF, TIFF or BMP`,
    );
    expect(existsSync(join(folder, 'records', 'photos'))).toBe(false);
  });
});

describe('a backup of a store with photos', () => {
  it('has them beside it, so that the way back keeps every proof; names those that are gone', async () => {
    put('front.gif', PICTURE);
    put('rear.gif', `${PICTURE}another`);
    await out(unit, 'photo', 'V-0107', 'front.gif', 'as received');
    await out(unit, 'photo', 'V-0108', 'rear.gif');
    mkdirSync(join(folder, 'disk'));
    expect(await out(log, 'backup', join('disk', 'copy.sqlite'))).toMatch(/disk\/photos: photos 2\n/);
    renameSync(join(folder, 'disk', 'copy.sqlite'), join(folder, 'disk', 'throwbench.sqlite'));
    const [front = ''] = readdirSync(join(folder, 'records', 'photos')).filter(
      (name) => readFileSync(join(folder, 'records', 'photos', name), 'utf8') === PICTURE,
    );
    rmSync(join(folder, 'records', 'photos', front));
    expect(await json(log, 'backup', 'second.sqlite')).toMatchObject({ photos: 1, photosLeft: 1 });
    expect(await out(log, 'backup', 'third.sqlite')).toMatch(
      /^unit V-0107: a photo of it is gone: it is not in the copy$/m,
    );
    process.env.THROWBENCH_LOGS = join(folder, 'disk');
    expect((await call(log, ['verify'], folder)).code).toBe(0);
  });

  it('that has nowhere to go names that place, not the store', async () => {
    tested('V-0107');
    const error = await call(log, ['backup', join('nowhere', 'copy.sqlite')], folder).catch(
      (thrown: unknown) => thrown,
    );
    expect(error).toMatchObject({
      message: expect.stringMatching(/nowhere\/copy\.sqlite: cannot be opened$/),
      advice: 'check that the folder is there and may be written; the store itself is as it was',
    });
  });
});

describe('log with jobs', () => {
  it('finds by job, rig and failed check', async () => {
    await json(job, 'import', put('list.csv', 'tag,job\nV-0101,31\n'));
    const ids = [tested('V-0101'), tested('V-0102')];
    const found = async (...args: string[]) =>
      (await json(log, ...args)).map(({ runId }: { runId: string }) => runId);
    expect(await found('--job', '31')).toEqual([ids[0]]);
    expect(await found('--rig', 'BENCH-1')).toHaveLength(2);
    expect(await found('--rig', 'bench-2')).toEqual([]);
    // Its only judged check passed.
    expect(await found('--check', 'running current')).toEqual([]);
    expect(await out(job)).toMatch(/^31 .* 1 +1 +0$/m);
  });
});

describe('labels and batch sheets', () => {
  it('are written for the newest run of each unit of a job, and refused in a size that no code fits', async () => {
    await json(job, 'import', put('list.csv', 'tag,job\nV-0101,31\nV-0102,31\n'));
    for (const tag of ['V-0101', 'V-0101', 'V-0102', 'V-0103']) tested(tag);
    const { stderr } = await call(log, ['--job', '31', '--labels', 'l.pdf', '--batch', 'b.pdf'], folder);
    expect(stderr).toMatch(/l\.pdf: 2 units written\n.*b\.pdf: 2 units written\n$/);
    const pages = readFileSync(join(folder, 'l.pdf'), 'latin1').match(/\/Type \/Page\b/g);
    expect(pages).toHaveLength(2);
    // 60 x 30 mm in points of a 72nd of an inch (ISO 32000).
    const [, width, height] =
      /\/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]/.exec(readFileSync(join(folder, 'l.pdf'), 'latin1')) ?? [];
    expect(Number(width)).toBeCloseTo((60 / 25.4) * 72, 3);
    expect(Number(height)).toBeCloseTo((30 / 25.4) * 72, 3);
    expect(await fault(log, '--labels', 'x.pdf', '--size', '60x10')).toMatch(
      /^a label of 60 x 10 mm has no room for a code/,
    );
    expect(await fault(log, '--labels', 'x.pdf', '--size', 'big')).toBe(
      "--size 'big' should be width x height in mm from 10 on, such as 60x30",
    );
    expect(await fault(log, '--size', '60x30')).toBe('--size goes with --labels');
    expect(await fault(log, '--labels', '-')).toBe('--labels - cannot go to standard output; name a file');
  });
});

describe('log key', () => {
  it('makes the key once, signs from then on, and others verify by its public half', async () => {
    tested('V-0101');
    expect(await out(log, 'verify')).toContain('signatures: none');
    const { keyId } = await json(log, 'key', 'new');
    expect(await fault(log, 'key', 'new')).toMatch(/there is a key already/);
    tested('V-0101');
    expect(await out(log, 'verify')).toContain(
      `signatures: hold; records signed: 2, the newest by key ${keyId}; 1 older than the key, taken in by its first signature`,
    );
    await out(log, 'key', '--out', 'public.pem');
    expect(readFileSync(join(folder, 'public.pem'), 'utf8')).toMatch(/^-----BEGIN PUBLIC KEY-----/);
    process.env.THROWBENCH_KEY = join(folder, 'none.pem');
    expect(await out(log, 'verify')).toContain('known from the store alone');
    expect(await out(log, 'verify', '--key', 'public.pem')).toContain(`the newest by key ${keyId}`);
    tested('V-0102');
    const told = await call(log, ['verify', '--key', 'public.pem'], folder);
    expect(told.code).toBe(1);
    expect(told.stdout).toContain("the newest record is not signed by the shop's key");
    expect(told.stdout).toContain('chain: holds\nsignatures: do NOT hold; faults: 1');
    mkdirSync(join(folder, 'x'));
    expect(await fault(log, 'verify', '--key', 'x')).toBe('x: is a directory; name a file');
  });

  it('tells of the key that signed before, leaves none behind that nothing names, and says what is no key', async () => {
    const { keyId } = await json(log, 'key', 'new');
    rmSync(join(folder, 'key.pem'));
    expect(await out(log, 'key', 'new')).toContain(`Until now key ${keyId} signed here. `);
    rmSync(join(folder, 'key.pem'));
    writeFileSync(join(folder, 'no-folder'), '');
    process.env.THROWBENCH_LOGS = join(folder, 'no-folder');
    await expect(call(log, ['key', 'new'], folder)).rejects.toMatchObject({ code: 'store-unreachable' });
    expect(readdirSync(folder)).not.toContain('key.pem');
    put('key.pem', 'garbage');
    expect(await fault(log, 'key')).toMatch(
      /key\.pem: is no signing key that can be used \(what stands in it is no key\)$/,
    );
  });

  it('that is broken stops the recording, and one line says so while the record is read and proven', async () => {
    await out(log, 'key', 'new');
    const runId = tested('V-0107');
    put('key.pem', 'garbage');
    const lines: string[] = [];
    const write = process.stderr.write;
    process.stderr.write = (text: string | Uint8Array) => lines.push(String(text)) > 0;
    try {
      expect(await out(log)).toContain(runId);
      expect(await out(log, 'show', runId)).toContain('V-0107');
      const { code, stdout } = await call(log, ['verify'], folder);
      expect(code, stdout).toBe(0);
      expect(stdout).toMatch(/^signatures: hold; .* known from the store alone/m);
    } finally {
      process.stderr.write = write;
    }
    expect(lines).toHaveLength(1);
    expect(lines[0]).toMatch(
      /key\.pem: is no signing key that can be used \(.*\): the record is read all the same, .*\n$/,
    );
    await expect(call(unit, ['note', 'V-0107', 'worn'], folder)).rejects.toMatchObject({
      code: 'key-unusable',
    });
    expect(() => tested('V-0108')).toThrow(/is no signing key/);
    rmSync(join(folder, 'key.pem'));
    expect(await json(log)).toHaveLength(1);
  });
});
