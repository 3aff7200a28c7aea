// The order of a tray: what is asked when, what is kept, and where it goes on. The rig is one that cannot be had, so that
// nothing is driven here; whole runs with attempts stand in the tests of commands.

import { describe, expect, it } from 'vitest';
import {
  type After,
  type Before,
  type BenchEvent,
  runTray,
  type TrayOptions,
  type TrayUnit,
} from '../../host/bench/index.js';
import { loadUnit } from '../../host/profile/index.js';

const unit = loadUnit('roof-vent-switch');
const other = loadUnit('entry-step-relays');

function job(tag: string, of = unit, before?: TrayUnit['before']): TrayUnit {
  const connect = async (): Promise<never> => {
    throw new Error('no rig here');
  };
  return { tag, unit: of, connect, ...(before ? { before } : {}) };
}

const TOLD: BenchEvent & { kind: 'unit-recorded' } = {
  kind: 'unit-recorded',
  ...{ index: 0, tag: 'V-1', circuitTitle: '', sentence: 'It fails.', aborted: false },
  verdict: 'fail',
  ...{ checks: [], findings: [], runId: 'r-1', attempt: 1 },
};

interface Said {
  before?: Record<string, Before>;
  after?: Record<string, After>;
}

async function tray(units: TrayUnit[], said: Said = {}, more: (TrayUnit | 'back' | undefined)[] = []) {
  const asked: string[] = [];
  const kept: string[] = [];
  const events: BenchEvent[] = [];
  const nothing = async (): Promise<never> => {
    throw new Error('nothing is judged here');
  };
  const answer = <T>(table: Record<string, T> | undefined, question: string, otherwise: T): T => {
    asked.push(question);
    return table?.[question] ?? otherwise;
  };
  const options = {
    units,
    store: { listRuns: () => [] } as unknown as TrayOptions['store'],
    desk: {
      prepare: async () => ({ timeS: new Float64Array(), lower: {}, upper: {} }),
      judge: nothing,
      close: nothing,
    },
    signal: new AbortController().signal,
    now: () => new Date(0),
    beforeUnit: async ({ tag, attempt }) => answer(said.before, `before ${tag} ${attempt}`, 'go'),
    afterUnit: async ({ tag, attempt }) =>
      answer<After>(said.after, `after ${tag} ${attempt}`, { goOn: 'next' }),
    more: async () => more.shift(),
    keeper: {
      skip: (index) => kept.push(`skip ${index}`),
      dispose: (tag, runId, word) => kept.push(`${tag} ${runId} ${word}`),
      takeBack: (runId) => kept.push(`take back ${runId}`),
    },
  } satisfies TrayOptions;
  for await (const event of runTray(options)) events.push(event);
  return { asked, kept, events, kinds: events.map(({ kind }) => kind) };
}

describe('a tray', () => {
  it('takes its units in order and asks before and after each', async () => {
    const { asked, kinds, events } = await tray([job('V-1'), job('V-2')]);
    expect(asked).toEqual(['before V-1 1', 'after V-1 1', 'before V-2 1', 'after V-2 1']);
    expect(kinds.filter((kind) => kind === 'hook-up')).toHaveLength(1);
    expect(events.at(-1)).toEqual({ kind: 'tray-finished', passed: 0, failed: 0, cannotTell: 2 });
  });

  it('tells how to clip on before each unit of another kind, other colours among it', async () => {
    const blue = { ...unit, unit: { ...unit.unit, wires: { 'lead-a': { colour: 'BU' } } } };
    const { events } = await tray([job('V-1'), job('V-2', blue), job('V-3', blue), job('V-4')]);
    const told = events.flatMap((event) => (event.kind === 'hook-up' ? [event] : []));
    expect(told.map(({ tag }) => tag)).toEqual(['V-1', 'V-2', 'V-4']);
    expect(told[1]?.lines.join(' ')).toContain('lead A (BU blue) from a1');
    expect(told[2]?.lines.join(' ')).toContain('lead A from a1');
  });

  it('runs the same unit again as its next attempt', async () => {
    const { asked, events } = await tray([job('V-1'), job('V-2')], {
      after: { 'after V-1 1': { goOn: 'again' } },
    });
    expect(asked.slice(0, 4)).toEqual(['before V-1 1', 'after V-1 1', 'before V-1 2', 'after V-1 2']);
    const started = events.flatMap((event) =>
      event.kind === 'unit-started' ? [[event.tag, event.attempt]] : [],
    );
    expect(started).toEqual([
      ['V-1', 1],
      ['V-1', 2],
      ['V-2', 1],
    ]);
  });

  it('keeps what was skipped, before it was thrown and after a stop', async () => {
    const { kept, kinds } = await tray([job('V-1'), job('V-2')], {
      before: { 'before V-1 1': 'skip' },
      after: { 'after V-2 1': { goOn: 'skip' } },
    });
    expect(kept).toEqual(['skip 0', 'skip 1']);
    expect(kinds.filter((kind) => kind === 'unit-skipped')).toHaveLength(2);
  });

  it('ends where it is told to', async () => {
    const { asked } = await tray([job('V-1'), job('V-2')], { after: { 'after V-1 1': { goOn: 'end' } } });
    expect(asked).toEqual(['before V-1 1', 'after V-1 1']);
  });

  it('goes on exactly where it stood, and tells again what was told', async () => {
    const units = [
      job('V-1', unit, { isDone: true, attempts: 1, told: TOLD }),
      job('V-2', unit, { isDone: false, attempts: 2 }),
      job('V-3'),
    ];
    const { asked, events } = await tray(units);
    expect(asked).toEqual(['before V-2 3', 'after V-2 3', 'before V-3 1', 'after V-3 1']);
    expect(events).toContainEqual(expect.objectContaining({ kind: 'unit-recorded', sentence: 'It fails.' }));
    expect(events.at(-1)).toMatchObject({ failed: 1, cannotTell: 2 });
  });

  it('takes a decision back and asks anew, also when the list is used up', async () => {
    const { asked, kept } = await tray(
      [job('V-1', unit, { isDone: true, attempts: 1, told: TOLD })],
      { after: { 'after V-1 1': { goOn: 'next', disposition: 'reject' } } },
      ['back'],
    );
    expect(asked).toEqual(['after V-1 1']);
    expect(kept).toEqual(['take back r-1', 'V-1 r-1 reject']);
  });

  it('takes units that join while it is open, and says how each kind is hooked up', async () => {
    const { asked, kinds } = await tray([], {}, [job('V-1'), job('V-2', other)]);
    expect(asked).toEqual(['before V-1 1', 'after V-1 1', 'before V-2 1', 'after V-2 1']);
    expect(kinds.filter((kind) => kind === 'unit-added')).toHaveLength(2);
    expect(kinds.filter((kind) => kind === 'hook-up')).toHaveLength(2);
  });
});
