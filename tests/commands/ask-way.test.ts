// Which way it went, from the call to the record: the virtual bench tells it from its case, a person at a terminal is
// asked, a pipe on a real rig is told once that nobody is; the record, its page, its sheet and a replay keep it.

import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { PassThrough } from 'node:stream';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type BenchEvent, type Desk, runUnit, type WayQuestion } from '../../host/bench/index.js';
import { replay } from '../../host/bench/replay/index.js';
import { type BenchDriver, sitAtBench } from '../../host/commands/bench-session.js';
import { recordText } from '../../host/commands/log-text.js';
import { sheetOf } from '../../host/commands/sheet-of-run.js';
import { makeRunCommand } from '../../host/commands/verbs/run.js';
import { judge } from '../../host/judge/index.js';
import { loadCase, type ResolvedUnit, restoredUnit } from '../../host/profile/index.js';
import { openStore, type RunRecord, type Store } from '../../host/records/index.js';
import { sheetHtml } from '../../host/reports/sheet/index.js';
import { openVirtualRig } from '../../host/virtual-rig/index.js';
import { connectionTo } from '../bench/connection.js';
import { expectationOf } from '../judge/known-expectations.js';
import { knownUnit } from '../profile/known-unit.js';
import { scriptedTray } from '../screens/scripted-bench.js';
import { call, gathering } from './call.js';

const COLOURED = ((): ResolvedUnit => {
  const whole = knownUnit('entry-step-relays');
  return { ...whole, unit: { ...whole.unit, wires: { 'lead-a': { colour: 'BU' } } } };
})();
let folder: string;
let store: Store;
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'throwbench-ask-way-'));
  store = openStore(folder);
});
afterAll(() => {
  store.close();
  rmSync(folder, { recursive: true, force: true });
});

const desk: Desk = {
  prepare: async () => ({ timeS: new Float64Array(), lower: {}, upper: {} }),
  judge: async ({ way, ...unit }, capture, stop) =>
    judge({
      unit: way === undefined ? unit : { ...unit, way },
      ...{ capture, stop, expectation: expectationOf(unit, 40) },
    }),
  close: async () => {},
};

async function run(id: string, person?: (question: WayQuestion) => number | undefined) {
  const virtual = openVirtualRig({ unit: COLOURED, virtualCase: loadCase(id), paced: false });
  const events: BenchEvent[] = [];
  const connect = async () => ({
    ...(await connectionTo(virtual, COLOURED.rig)),
    turned: () => virtual.turned?.(),
  });
  const verdict = await runUnit(
    { index: 0, tag: 'V-0107', unit: COLOURED, connect },
    {
      ...{ store, desk, wantsWay: true },
      signal: new AbortController().signal,
      now: () => new Date('2026-05-04T08:00:00Z'),
      ...(person ? { whichWay: async (question: WayQuestion) => person(question) } : {}),
    },
    (event) => events.push(event),
  );
  const judged = events.find((event) => event.kind === 'judged')!;
  const record = store.showRun(judged.runId);
  return { verdict, events, record, capture: store.readCapture(judged.runId)! };
}

const once = new Map<string, ReturnType<typeof run>>();
/** As the virtual bench tells it when nobody attends; run once. */
const unattended = (id: string): ReturnType<typeof run> => {
  const made = once.get(id) ?? run(id);
  once.set(id, made);
  return made;
};

const htmlOf = (record: RunRecord): string => {
  const sheet = sheetOf({
    run: record,
    capture: undefined,
    calibrations: [],
    entries: [],
    story: [],
    shop: [],
  });
  return sheetHtml(sheet, 'a4').replaceAll('\u00a0', ' ');
};

describe('on the virtual bench that nobody attends', () => {
  it('a good unit goes out, as it should: kept with its record, on its page and its sheet', async () => {
    const { verdict, record } = await unattended('entry-step-good');
    expect(verdict).toBe('pass');
    const way = { moved: 'as-forward', by: 'virtual-bench', words: 'out', declared: 'out' };
    expect(record.judgement?.way).toEqual(way);
    expect(record.unit.way).toEqual({ moved: 'as-forward', by: 'virtual-bench' });
    expect(recordText(record)).toContain('\nforward  out, as it should (told by the virtual bench)\n');
    expect(htmlOf(record)).toContain(
      '<dt>forward</dt><dd>out, as it should (told by the virtual bench)</dd>',
    );
  });

  it('one that sits the other way round is electrically right and in doubt, told first on the sheet', async () => {
    const { verdict, record, capture } = await unattended('turns-other-way');
    expect(verdict).toBe('cannot-tell');
    expect(record.judgement?.checks.some(({ outcome }) => outcome === 'fail')).toBe(false);
    const sentence = 'Forward should move it out; it moved in: the leads of the motor are exchanged';
    expect(record.sentence).toContain(sentence);
    const html = htmlOf(record);
    expect(html.indexOf(sentence)).toBeGreaterThan(0);
    expect(html.indexOf(sentence)).toBeLessThan(html.indexOf('not tested'));
    // Out of the record alone it is judged the same again.
    const again = replay(record, capture, restoredUnit(record.unit, record.runId));
    expect(again.verdict).toBe('cannot-tell');
    expect(again.way).toEqual(record.judgement?.way);
    expect(store.verify().faults).toEqual([]);
  });

  it('beside a fail, whose cause stands first, the doubt is bold at the head of the sheet', async () => {
    const { record } = await unattended('turns-other-way');
    const html = htmlOf({ ...record, verdict: 'fail' });
    const at = html.indexOf('<p class="bad">In doubt: Forward should move it out; it moved in');
    expect(at).toBeGreaterThan(0);
    expect(at).toBeLessThan(html.indexOf('Checks: what was read'));
  });
});

describe('with a person', () => {
  it('asks after the outputs are off, before the verdict, and keeps what the person says', async () => {
    const questions: WayQuestion[] = [];
    const { events, record } = await run('entry-step-good', (question) => {
      questions.push(question);
      return 1;
    });
    expect(questions.map(({ choices }) => choices[1])).toEqual(['in']);
    expect(record.judgement?.way).toMatchObject({ moved: 'as-reverse', by: 'person', words: 'in' });
    expect(record.verdict).toBe('cannot-tell');
    const asked = events.findIndex(({ kind }) => kind === 'prompt');
    expect(events.findIndex(({ kind }) => kind === 'outputs-off')).toBeLessThan(asked);
    expect(events.findIndex(({ kind }) => kind === 'judged')).toBeGreaterThan(asked);
  });
});

describe('the sheet', () => {
  it('tells how the unit was clipped on, in the colours of its wires', async () => {
    const { record } = await unattended('entry-step-good');
    expect(htmlOf(record)).toMatch(
      /<dt>clipped on<\/dt><dd>.*lead A \(BU blue\) from 30 of K1, lead B from 30/,
    );
  });
});

const question: WayQuestion = { choices: ['out', 'in', 'did not move', 'not seen'] };

/** A sitting in lines whose bench asks once. */
async function sitting(
  typed: string[] | undefined,
  { port, json = false }: { port?: string; json?: boolean } = {},
) {
  const answers: unknown[] = [];
  const stdin = new PassThrough();
  const { io, written } = gathering(folder, {
    isAttended: true,
    ...(typed ? { terminal: { stdin: stdin as unknown as NodeJS.ReadStream, stdout: process.stdout } } : {}),
  });
  const openBench = async (): Promise<BenchDriver> => ({
    runTray: async function* ({ whichWay }) {
      if (whichWay) {
        const answer = whichWay(question);
        for (const line of typed ?? []) {
          for (let turn = 0; turn < 3; turn++) await new Promise((resolve) => setImmediate(resolve));
          stdin.write(`${line}\n`);
        }
        answers.push(await answer);
      } else answers.push('not asked');
      yield* scriptedTray({ units: [{ tag: 'V-0107', outcome: 'pass' }] });
    },
    close: async () => {},
  });
  const request = {
    ...{ units: [{ tag: 'V-0107', unit: COLOURED }], kind: 'run' as const, title: 'V-0107' },
    settings: { askWay: true },
    ...(port === undefined ? {} : { port }),
  };
  await sitAtBench(request, { json, plain: true }, io, openBench);
  return { answers, ...written };
}

describe('in lines', () => {
  it.each([
    [['2'], 1],
    [['Did not move'], 2],
    [['seven', '1'], 0],
    [[''], undefined],
    [['a', 'b', 'c'], undefined],
  ])('takes %j', async (typed, place) => {
    const { answers } = await sitting(typed);
    expect(answers).toEqual([place]);
  });

  it('says once that nobody is asked, in a pipe on a real rig', async () => {
    const { answers, stderr } = await sitting(undefined, { port: '/dev/null' });
    expect(answers).toEqual(['not asked']);
    expect(stderr.match(/which way the output goes is not asked: nobody sits here to see it/g)).toHaveLength(
      1,
    );
    expect((await sitting(undefined)).stderr).toBe('');
  });
});

it('is not for training', async () => {
  const command = makeRunCommand(async () => {
    throw new Error('nothing is opened');
  });
  await expect(
    call(command, ['--profile', 'entry-step-relays', '--virtual', 'random', '--ask-way'], folder),
  ).rejects.toThrow('--ask-way is not for training');
});
