// `throwbench probe` on a recorded run: typed in a pipe, read by the rig with a moved clip, refused in one line; what was
// taken stands in the record, which proves itself.

import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Readable } from 'node:stream';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { ClipAwayError, refuseAwayClips } from '../../host/commands/clips-away.js';
import { show } from '../../host/commands/log.js';
import { probeTyped } from '../../host/commands/probe.js';
import { probeWithRig } from '../../host/commands/probe-rig.js';
import { probing } from '../../host/commands/rooms/talks.js';
import { command } from '../../host/commands/verbs/probe.js';
import { judge } from '../../host/judge/index.js';
import { loadCase, loadUnit } from '../../host/profile/index.js';
import { judgementRecord, openStore } from '../../host/records/index.js';
import { connectRig } from '../../host/rig/index.js';
import { Talk } from '../../host/screens/talk.js';
import { openVirtualRig } from '../../host/virtual-rig/index.js';
import { runDirectly } from '../accuracy/direct-run.js';
import { expectationOf } from '../judge/known-expectations.js';
import { begin, capture, judgement, RIG } from '../records/example-run.js';
import { call, gathering } from './call.js';

const CASE = 'coil-open';
const UNIT = loadUnit('entry-step-relays');
let folder: string;
let failed: string;
let passed: string;
const before = process.env.THROWBENCH_LOGS;

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'throwbench-probe-'));
  process.env.THROWBENCH_LOGS = folder;
  const virtualCase = loadCase(CASE);
  const run = runDirectly({ unit: UNIT, truth: 'k2-coil-open', virtualCase, seed: virtualCase.seed });
  const judged = judge({ unit: UNIT, ...run, expectation: expectationOf(UNIT, 40) });
  expect(judged.verdict).toBe('fail');
  const store = openStore();
  failed = store.beginRun({ ...begin('V-0107'), unit: UNIT });
  store.finishRun(failed, { capture: run.capture, judgement: judgementRecord(judged) });
  passed = store.beginRun(begin('V-0101'));
  store.finishRun(passed, { capture: capture(50), judgement: judgement('pass') });
  store.close();
}, 120_000);
afterAll(() => {
  if (before === undefined) delete process.env.THROWBENCH_LOGS;
  else process.env.THROWBENCH_LOGS = before;
  rmSync(folder, { recursive: true, force: true });
});

const inStore = <T>(ask: (store: ReturnType<typeof openStore>) => T): T => {
  const store = openStore();
  try {
    return ask(store);
  } finally {
    store.close();
  }
};
/** Answers one line at a time, as a person does: chosen by what was asked last. */
async function typed(
  answers: (asked: string) => string | undefined,
  { json = false, runId = failed, isTty = false } = {},
) {
  const { io: plain, written } = gathering(folder);
  const io = { ...plain, isTty };
  const stdin = new Readable({ read() {} });
  const heard = io.stdout;
  let so = '';
  io.stdout = (text) => {
    heard(text);
    so = /Probe \d/.test(text) ? text : so + text;
    const isAsked = json ? text.includes('"next-probe"') : /\(skip, undo, stop\)|Enter keeps it/.test(text);
    if (!isAsked) return;
    const answer = answers(so);
    stdin.push(answer === undefined ? null : `${answer}\n`);
  };
  const code = await probeTyped({ runId, json }, io, stdin);
  return { code, ...written };
}

describe('a wrong call', () => {
  it.each([
    [[], 'probe needs a RUN, an id from throwbench log or last; or --profile P --unit TAG before any run'],
    [['last', 'more'], '"more" is one word too many'],
    [['last', '--clip', 'A'], '--clip goes with --port or --virtual'],
    [['last', '--clip', 'C', '--virtual', CASE], "--clip 'C' should be A or B"],
    [['last', '--clip-back'], '--clip-back goes with --port or --virtual: which bench?'],
    [
      ['last', '--port', '/dev/x', '--virtual', CASE],
      '--port and --virtual exclude each other: name one bench',
    ],
    [['last', '--rig', 'bench-1'], '--rig goes with --port'],
    [['last', '--profile', 'x'], '--profile goes without a RUN: the run says what the unit is'],
    [['last', '--lamp'], '--lamp goes with --profile, without a RUN: the run says what the unit is'],
    [['--profile', 'x'], '--unit TAG is missing: which unit is it?'],
    [
      ['--profile', 'x', '--unit', 'V-1', '--virtual', CASE],
      '--virtual goes with a RUN: before any power a person measures by hand',
    ],
  ])('%j is refused in one line', async (args, message) => {
    await expect(call(command, args, folder)).rejects.toThrow(message);
  });

  it('names no such run, and a run that passed', async () => {
    await expect(call(command, ['2020-01-01-0001'], folder)).rejects.toThrow(
      '2020-01-01-0001: no such run; throwbench log lists the runs',
    );
    await expect(call(command, [passed], folder)).rejects.toThrow(
      `${passed}: the run passed; there is nothing to probe`,
    );
  });
});

describe('typed in a pipe', () => {
  it('goes from probe to probe, tells a bad reading in one line, and leaves one cause', async () => {
    let isFirst = true;
    const { code, stdout, stderr } = await typed((asked) => {
      if (isFirst) {
        isFirst = false;
        return '0,4 V';
      }
      // As an open coil of K2 gives it; the ohms of a good coil at K1.
      if (/does the fault move|did the fault move/.test(asked)) return 'yes';
      if (/85 of K2/.test(asked) && /Throw forward/.test(asked)) return '0.02 V';
      if (/86 of K2/.test(asked)) return '12.3 V';
      if (/pull K2 and measure it from 86 to 85/.test(asked)) return 'open';
      return 'skip';
    });
    expect(stderr).toMatch(/^throwbench probe: "0,4 V" .*\n$/);
    expect(stdout).toContain('The coil of K2 is open between 85 and 86. One cause is left');
    expect(code).toBe(0);
    const { out } = await shown();
    expect(out).toContain('Probed afterwards:');
    expect(out).toContain('One cause is left');
    expect(inStore((store) => store.verify())).toMatchObject({ runs: 2, faults: [] });
    expect(inStore((store) => store.listEntries(failed).length)).toBeGreaterThanOrEqual(2);
  });

  it('goes on from what was taken, and says so', async () => {
    const { code, stdout } = await typed(() => undefined);
    expect(stdout).toContain('Taken before: ');
    expect(stdout).toContain('One cause is left');
    expect(code).toBe(0);
  });
});

describe('an answer that is taken back', () => {
  it('is asked for again, stays in the record, and counts for nothing when the probing goes on', async () => {
    const runId = recordedAgain();
    const told = inStore((store) => store.listEntries(runId));
    expect(told).toEqual([]);
    // What the first probe gives with its first answer; undone, the same probe is asked again.
    const asked: string[] = [];
    const answers = ['undo', 'skip', 'undo', undefined];
    const first = await typed(
      (words) => {
        asked.push(/Probe \d+: .*/.exec(words)?.[0] ?? '');
        return answers[asked.length - 1];
      },
      { runId },
    );
    expect(first.stdout).toContain('Nothing was taken yet that could be taken back.');
    expect(asked[1]).toBe(asked[0]);
    expect(asked[2]).not.toBe(asked[0]);
    expect(asked[3]).toBe(asked[0]);
    expect(inStore((store) => store.listEntries(runId))).toEqual([]);

    let count = 0;
    const second = await typed(
      (words) => {
        count++;
        if (count === 1) return /yes or no/.test(words) ? 'no' : '0.00';
        return count === 2 ? 'undo' : undefined;
      },
      { runId },
    );
    expect(second.stdout).toContain('Taken back: ');
    const kinds = inStore((store) => store.listEntries(runId).map(({ kind }) => kind));
    expect(kinds.slice(0, 2)).toEqual(['probe', 'probe-undone']);
    const third = await typed(() => undefined, { runId });
    expect(third.stdout).not.toContain('Taken before');
    expect(third.stdout).toContain('Probe 1: ');
    expect(inStore((store) => store.verify().faults)).toEqual([]);
  });

  it('may be the one that led to the end, at a terminal', async () => {
    const runId = recordedAgain();
    const ends: string[] = [];
    const { stdout } = await typed(
      (words) => {
        if (words.includes('Enter keeps it')) return ends.push('end') === 1 ? 'undo' : '';
        if (/move/.test(words)) return 'yes';
        if (/86 of K2/.test(words) && /Throw/.test(words)) return '12.3 V';
        if (/measure it from 86 to 85/.test(words)) return 'open';
        return 'skip';
      },
      { runId, isTty: true },
    );
    expect(ends.length).toBeGreaterThanOrEqual(2);
    expect(stdout).toContain('Taken back: ');
    const kinds = inStore((store) => store.listEntries(runId).map(({ kind }) => kind));
    expect(kinds).toContain('probe-undone');
    expect(kinds.at(-1)).toBe('probed');
  });
});

async function shown(json = false) {
  const { io, written } = gathering(folder);
  await show(io, failed, { csv: undefined, json });
  return { out: written.stdout };
}

/** The run that failed, as one that nothing was probed of yet. */
const recordedAgain = (): string =>
  inStore((store) => {
    const { unit, judgement: told } = store.showRun(failed);
    const runId = store.beginRun({ ...begin('V-0107'), unit });
    const run = store.readCapture(failed);
    if (run === undefined || told === undefined) throw new Error('the run is not whole');
    store.finishRun(runId, { capture: run, judgement: told });
    return runId;
  });

describe('read by the rig', () => {
  it('moves the clip, throws once a probe, sees it back, and the record proves itself', async () => {
    const fresh = recordedAgain();
    const { io, written } = gathering(folder);
    const asked = {
      runId: fresh,
      json: false,
      virtualCase: loadCase(CASE),
      clip: 'b' as const,
      onlyBack: false,
    };
    const code = await probeWithRig(asked, io, Readable.from([]));
    expect(written.stderr).toBe('');
    expect(written.stdout).toContain('Bite the sense clip of lead B on ');
    expect(written.stdout).toContain('Lead B itself is not read meanwhile.');
    expect(written.stdout).toContain('The coil of K2 is open between 85 and 86. One cause is left');
    expect(written.stdout).toContain('seen by the readings of the limited throws');
    expect(code).toBe(0);
    inStore((store) => {
      const kinds = store.listEntries(fresh).map(({ kind }) => kind);
      expect(kinds[0]).toBe('clip-moved');
      expect(kinds.at(-1)).toBe('clip-back');
      expect(kinds).toContain('probed');
      expect(store.clipsAway('virtual')).toEqual([]);
      expect(store.verify().faults).toEqual([]);
    });
  });

  it('reads for the person at the bench, who lets it by Enter and can put outputs off by a key while it throws', async () => {
    const fresh = recordedAgain();
    const { io } = gathering(folder);
    const room = probing(io, { runId: fresh, tag: 'V-0107' }, { virtualCase: loadCase(CASE) });
    const content = await room.open();
    if (!('talk' in content)) throw new Error('the room does not talk');
    let wasLive = false;
    const talk = new Talk((view) => {
      wasLive ||= view.isLive;
    });
    const talked = content.talk(talk);
    await expect.poll(() => talk.view.asked, { timeout: 20_000 }).toContain('Shall the rig read? [yes]');
    expect(talk.view.isLive).toBe(false);
    talk.answer('');
    await talked;
    const told = talk.view.lines.join(' ');
    expect(told).toContain('Bite the sense clip of lead B on ');
    expect(told.replace(/\s+/g, ' ')).toContain(
      'The coil of K2 is open between 85 and 86. One cause is left',
    );
    expect(told).toContain("back on the motor's terminal");
    expect(wasLive).toBe(true);
    expect(talk.view.isLive).toBe(false);
    expect(inStore((store) => store.clipsAway('virtual'))).toEqual([]);
  });

  it('lets no run be made on a rig whose clip is away, and tells how to bring it back', async () => {
    const moved = {
      kind: 'clip-moved',
      rigId: 'virtual',
      clip: 'b',
      sentence: 'The clip was moved.',
    } as const;
    inStore((store) => store.addEntry(failed, moved));
    const virtual = openVirtualRig({ unit: UNIT, virtualCase: loadCase(CASE), paced: false });
    const rig = await connectRig({ port: virtual, clock: virtual.clock, rigProfile: UNIT.rig });
    let isClosed = false;
    const connection = {
      rig,
      close: async () => {
        isClosed = true;
        await rig.close();
        virtual.close();
      },
    };
    const refused = await inStoreAsync((store) =>
      refuseAwayClips(connection, store).then(
        () => undefined,
        (error: unknown) => error,
      ),
    );
    expect(refused).toBeInstanceOf(ClipAwayError);
    expect((refused as ClipAwayError).advice).toContain(`throwbench probe ${failed} --clip-back`);
    expect(isClosed).toBe(true);
    const { io, written } = gathering(folder);
    const back = {
      runId: failed,
      json: false,
      virtualCase: loadCase(CASE),
      clip: 'b' as const,
      onlyBack: true,
    };
    expect(await probeWithRig(back, io, Readable.from([]))).toBe(0);
    expect(written.stdout).toContain("The sense clip of lead B is back on the motor's terminal");
    expect(inStore((store) => store.clipsAway('virtual'))).toEqual([]);
  });

  it('has no part in a unit that a person throws', async () => {
    const byHand = loadUnit('entry-step-by-hand');
    const runId = inStore((store) => {
      const told = store.showRun(failed).judgement;
      const run = store.readCapture(failed);
      if (run === undefined || told === undefined) throw new Error('the run is not whole');
      const id = store.beginRun({
        tag: 'V-0108',
        unit: byHand,
        rig: RIG,
        startedAt: '2024-06-11T10:00:00.000Z',
      });
      store.finishRun(id, { capture: run, judgement: told });
      return id;
    });
    const asked = { runId, json: false, virtualCase: loadCase(CASE), clip: 'b' as const, onlyBack: false };
    await expect(probeWithRig(asked, gathering(folder).io, Readable.from([]))).rejects.toThrow(
      `${runId}: the rig does not throw this unit by itself; type the readings: throwbench probe ${runId}`,
    );
  });
});

async function inStoreAsync<T>(ask: (store: ReturnType<typeof openStore>) => Promise<T>): Promise<T> {
  const store = openStore();
  try {
    return await ask(store);
  } finally {
    store.close();
  }
}
