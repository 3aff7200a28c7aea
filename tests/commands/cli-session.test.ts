// What a sitting tells in plain lines and JSON, and which exit code it ends with; the bench is scripted.

import { describe, expect, it } from 'vitest';
import { type BenchDriver, type SessionUnit, sitAtBench } from '../../host/commands/bench-session.js';
import type { CommandIo } from '../../host/commands/index.js';
import { loadUnit } from '../../host/profile/index.js';
import { type ScriptedUnit, type ScriptOptions, scriptedTray, TRAY } from '../screens/scripted-bench.js';

const UNIT = loadUnit('entry-step-relays');

function sitting(units: ScriptedUnit[], script: Partial<ScriptOptions> = {}) {
  const told = { out: '', err: '' };
  const closed = new AbortController();
  const io: CommandIo = {
    stdout: (text) => {
      told.out += text;
    },
    stderr: (text) => {
      told.err += text;
    },
    isTty: false,
    columns: 80,
    rows: 24,
    cwd: '/',
    closed: closed.signal,
  };
  let isClosed = false;
  let pacing: boolean | undefined;
  const openBench = async (_request: unknown, { paced }: { paced: boolean }): Promise<BenchDriver> => {
    pacing = paced;
    return {
      runTray: ({ more: _, ...control }) => scriptedTray({ units, ...script, ...control }),
      close: async () => {
        isClosed = true;
      },
    };
  };
  const sit = (options: { json?: boolean; port?: string } = {}): Promise<number> => {
    const request = {
      units: units.map(({ tag }): SessionUnit => ({ tag, unit: UNIT })),
      kind: 'tray' as const,
      title: 'scripted',
      ...(options.port ? { port: options.port } : {}),
    };
    return sitAtBench(request, { json: options.json ?? false, plain: false }, io, openBench);
  };
  return { told, sit, closed, isClosed: () => isClosed, pacing: () => pacing };
}

const only = (outcome: ScriptedUnit['outcome']): ScriptedUnit[] => [{ tag: 'V-0107', outcome }];

describe('exit code of a sitting', () => {
  it.each([
    ['pass', 0],
    ['fail', 1],
    ['cannot-tell', 3],
  ] as const)('is for %s: %i', async (outcome, code) => {
    const { sit, isClosed } = sitting(only(outcome));
    expect(await sit()).toBe(code);
    expect(isClosed()).toBe(true);
  });

  it('is 1 for a tray with a failed unit among others, 3 with a doubtful one among passes', async () => {
    expect(await sitting(TRAY).sit()).toBe(1);
    expect(await sitting(TRAY.filter(({ outcome }) => outcome !== 'fail')).sit()).toBe(3);
  });

  it('is 3 for trouble with the rig', async () => {
    const { sit } = sitting(only('pass'), {
      trouble: { index: 0, sentence: 'no answer', advice: 'Check the cable.' },
    });
    expect(await sit()).toBe(3);
  });
});

describe('plain lines', () => {
  it('tell cautions, rig, each unit with its reason, and close with a table', async () => {
    const { told, sit } = sitting(TRAY);
    await sit();
    expect(told.err).toBe('');
    expect(told.out).toMatch(/^Before the first throw:\n {2}! Clamp the motor/);
    expect(told.out).toContain('rig RB-01, reference rig, firmware 1.0.0, on virtual');
    expect(told.out).toContain('V-0102 (2 of 4): Roof vent');
    expect(told.out).toContain(
      '  FAIL: Forward inrush is 8.7 A where at least 17 A is expected. (record run-2)',
    );
    expect(told.out).toMatch(/fail: Forward inrush is 8\.7 A; 17 to 27 A expected\./);
    expect(told.out).toContain('likely, 82 %: Worn brushes');
    expect(told.out).toContain('next probe: Measure lead to lead');
    // Verdict, cause and what to touch, and only then what was asked.
    expect(told.out).toMatch(/FAIL: Forward[\s\S]*likely, [\s\S]*next probe: [\s\S]*fail: Forward inrush/);
    expect(told.out.trimEnd().split('\n').slice(-6)).toEqual([
      'unit    verdict      reason',
      'V-0101  PASS         Throws both ways and brakes to ground as it should.',
      'V-0102  FAIL         Forward inrush is 8.7 A where at least 17 A is expected. Next probe: Measure lead to lead at four shaft angles, feed off; above 1.5 Ohm means brushes.',
      'V-0103  CANNOT TELL  Lead B was not seen for 0.3 s of the reverse throw.',
      'V-0104  PASS         Throws both ways and brakes to ground as it should.',
      '2 pass, 1 fail, 1 cannot tell',
    ]);
  });

  it('hold no escape code', async () => {
    const { told, sit } = sitting([{ tag: 'V\u001b[31m-1', outcome: 'fail' }]);
    await sit();
    expect(told.out).not.toContain('\u001b');
  });

  it('tell trouble with what to do', async () => {
    const { told, sit } = sitting(only('pass'), {
      trouble: { index: 0, sentence: 'the rig did not answer', advice: 'Check the cable.' },
    });
    await sit();
    expect(told.out).toContain('warning: the rig did not answer\n  what to do: Check the cable.');
    expect(told.out).toContain('V-0107  CANNOT TELL  the rig did not answer');
  });
});

describe('JSON lines', () => {
  it('are one object for each unit and a summary, and nothing else', async () => {
    const { told, sit } = sitting(TRAY);
    await sit({ json: true });
    const lines = told.out
      .trimEnd()
      .split('\n')
      .map((line) => JSON.parse(line));
    expect(lines.map(({ kind, tag, verdict }) => [kind, tag, verdict])).toEqual([
      ['unit', 'V-0101', 'pass'],
      ['unit', 'V-0102', 'fail'],
      ['unit', 'V-0103', 'cannot-tell'],
      ['unit', 'V-0104', 'pass'],
      ['summary', undefined, 'fail'],
    ]);
    expect(lines[1]).toMatchObject({
      runId: 'run-2',
      aborted: false,
      findings: [{ id: 'worn-brushes', likelihood: 0.82 }],
    });
    expect(lines[1].checks).toContainEqual(
      expect.objectContaining({ id: 'forward-inrush', outcome: 'fail' }),
    );
    expect(lines.at(-1)).toEqual({
      kind: 'summary',
      verdict: 'fail',
      units: 4,
      passed: 2,
      failed: 1,
      cannotTell: 1,
      notRun: 0,
    });
  });

  it('tell an aborted unit with its advice and no record number', async () => {
    const { told, sit } = sitting(only('pass'), {
      trouble: { index: 0, sentence: 'no answer', advice: 'Check the cable.' },
    });
    await sit({ json: true });
    const first = JSON.parse(told.out.split('\n')[0]!);
    expect(first).toMatchObject({
      verdict: 'cannot-tell',
      aborted: true,
      sentence: 'no answer',
      advice: 'Check the cable.',
    });
    expect(first).not.toHaveProperty('runId');
  });
});

describe('a sitting without a terminal', () => {
  it('does not pace the virtual bench, but does pace a real rig', async () => {
    const virtual = sitting(only('pass'));
    await virtual.sit();
    expect(virtual.pacing()).toBe(false);
    const real = sitting(only('pass'));
    await real.sit({ port: '/dev/ttyUSB0' });
    expect(real.pacing()).toBe(true);
  });

  it('refuses a tray on a real rig, since nobody can be asked to change units', async () => {
    const { sit, pacing } = sitting(TRAY);
    await expect(sit({ port: '/dev/ttyUSB0' })).rejects.toThrow(/needs a person to change units/);
    expect(pacing()).toBeUndefined();
  });

  it('puts outputs off when nobody reads its output any more', async () => {
    let slices = 0;
    const { told, sit, closed } = sitting(TRAY, {
      sleep: async () => {
        slices += 1;
        if (slices === 20) closed.abort();
      },
    });
    expect(await sit()).toBe(3);
    expect(slices).toBe(20);
    expect(told.out).toContain('CANNOT TELL: Outputs off at the operator');
    expect(told.out).toContain('3 not run');
  });

  it('puts outputs off at SIGINT and records the unit as not told', async () => {
    let slices = 0;
    const { told, sit } = sitting(TRAY, {
      sleep: async () => {
        slices += 1;
        if (slices === 5) process.emit('SIGINT');
      },
    });
    expect(await sit()).toBe(3);
    expect(slices).toBe(5);
    expect(told.err).toContain('outputs off is sent');
  });
});
