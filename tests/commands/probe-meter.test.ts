// `throwbench probe --profile P --unit TAG`: typed in a pipe to its end, kept as a run that proves itself.

import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Readable } from 'node:stream';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { faultById } from '../../host/circuit/index.js';
import { show } from '../../host/commands/log.js';
import { probeWithMeter } from '../../host/commands/probe-meter.js';
import { type MeterWay, probeIdOf, readingsOf } from '../../host/plan/index.js';
import { loadUnit } from '../../host/profile/index.js';
import { openStore } from '../../host/records/index.js';
import { gathering } from './call.js';

let folder: string;
const before = process.env.THROWBENCH_LOGS;
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'throwbench-by-hand-'));
  process.env.THROWBENCH_LOGS = folder;
});
afterAll(() => {
  if (before === undefined) delete process.env.THROWBENCH_LOGS;
  else process.env.THROWBENCH_LOGS = before;
  rmSync(folder, { recursive: true, force: true });
});

interface Asked {
  probe: string;
  from: string;
  to: string;
  state: string;
  open: boolean;
  least?: number;
  most?: number;
}
const right = ({ open, least = 0, most = 0 }: Asked): string =>
  open ? 'OL' : `${((least + most) / 2).toFixed(2)}`;

/** Answers one line at a time, as a program does. */
async function typed(
  answers: (asked: Asked) => string | undefined,
  { profile = 'roof-vent-switch', way = 'ohms' as MeterWay } = {},
) {
  const { io, written } = gathering(folder);
  const stdin = new Readable({ read() {} });
  const heard = io.stdout;
  const told: Record<string, unknown>[] = [];
  io.stdout = (text) => {
    heard(text);
    const object = JSON.parse(text);
    told.push(object);
    if (object.kind !== 'next-probe') return;
    const answer = answers(object);
    stdin.push(answer === undefined ? null : `${answer}\n`);
  };
  const code = await probeWithMeter({ profile, tag: 'V-0107', way, json: true }, io, stdin);
  return { code, told, end: told.at(-1) ?? {}, ...written };
}

async function shown(): Promise<string> {
  const { io, written } = gathering(folder);
  await show(io, 'last', { csv: undefined, json: false });
  return written.stdout;
}

describe('a dialogue with a hand meter', () => {
  it('proves a good unit right, tells what it cannot see, and keeps every reading', async () => {
    const { code, end, told } = await typed(right);
    expect(code).toBe(0);
    expect(end).toMatchObject({ kind: 'metered', verdict: 'pass', conclusion: 'right', left: [] });
    expect(JSON.stringify(end.unseen)).toContain('feed-resistance');
    expect(told.filter(({ kind }) => kind === 'taken').every((each) => each.right)).toBe(true);
    const out = await shown();
    expect(out).toContain('meter    hand meter, readings typed; no rig');
    expect(out).toContain('PASS  Every reading is right: wired as it should be');
    expect(out).toMatch(/not tested +A meter without current cannot see/);
    expect(out.match(/^ {2}pass /gm)).toHaveLength(Number(end.readings));
  });

  it('names the wire to mend by its terminals', async () => {
    const unit = loadUnit('roof-vent-switch');
    const fault = faultById(unit, 'jumper-a1-b2-missing');
    const readings = new Map(readingsOf(unit, 'ohms').map((reading) => [probeIdOf(reading), reading]));
    const { code, end } = await typed(({ probe }) => {
      const shownOhm = readings.get(probe)?.shown([fault]) ?? Number.NaN;
      return Number.isFinite(shownOhm) ? `${shownOhm.toFixed(1)}` : 'open';
    });
    expect(code).toBe(1);
    expect(end).toMatchObject({ verdict: 'fail', conclusion: 'one' });
    expect(end.sentence).toMatch(/^Jumper a1-b2 is missing or broken. Mend it/);
    expect(await shown()).toMatch(/FAIL +From .* of the switch to .*: open, must be at most/);
  });

  const small = { profile: 'entry-step-alone' };

  it('tells a bad reading in one line and asks again', async () => {
    let count = 0;
    const { stderr, code } = await typed(() => {
      count++;
      return count === 1 ? '0,4\n4 bananas\nstop' : 'stop';
    }, small);
    expect(stderr.split('\n').filter(Boolean)).toHaveLength(2);
    expect(code).toBe(3);
  });

  it('cannot tell when it is left before the end, and says that nothing was wrong so far', async () => {
    let count = 0;
    const { code, end } = await typed((asked) => (++count > 2 ? undefined : right(asked)), small);
    expect(code).toBe(3);
    expect(end).toMatchObject({ verdict: 'cannot-tell', conclusion: 'broken-off', readings: 2 });
    expect(end.sentence).toBe('Left before it was proven right. Nothing that was read is wrong.');
  });

  it('never passes while readings were skipped that nothing else makes up for', async () => {
    const { code, end } = await typed((asked) => (asked.open ? 'skip' : right(asked)), small);
    expect(code).toBe(3);
    expect(end).toMatchObject({ verdict: 'cannot-tell', conclusion: 'group' });
  });

  it('goes in volts through a lamp, of a relay by itself too', async () => {
    const { code, told, end } = await typed(right, { profile: 'mini-changeover-diode-alone', way: 'lamp' });
    expect(code).toBe(0);
    expect(told.some(({ range }) => range === 'volts')).toBe(true);
    expect(end.conclusion).toBe('right');
  });

  it('leaves a store that proves itself', () => {
    const store = openStore();
    try {
      expect(store.verify().faults).toEqual([]);
      expect(store.listRuns().length).toBeGreaterThan(4);
      expect(store.readCapture('last')).toBeUndefined();
    } finally {
      store.close();
    }
  });
});
