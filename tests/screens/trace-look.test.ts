// Looking at a run that is over: cursor, zoom, starts, and what lies under it.

import { describe, expect, it } from 'vitest';
import { EMPTY_VIEW, reduceBench } from '../../host/screens/index.js';
import { alignedSeries, PastRuns } from '../../host/screens/past-runs.js';
import { lookAfter, type TraceLook, wholeRun } from '../../host/screens/trace-look.js';
import { TraceStore } from '../../host/screens/trace-store.js';
import { STEPS, scriptedJudgement } from './scripted-bench.js';

const RUN = { endS: 4, startsS: [1, 2.5] };
const looked = (...actions: Parameters<typeof lookAfter>[1][]): TraceLook =>
  actions.reduce<TraceLook>((look, action) => lookAfter(look, action, RUN) ?? look, wholeRun(RUN));

describe('a look at the traces', () => {
  it('is of the whole run at first, the cursor in its middle', () => {
    expect(looked()).toEqual({ fromS: 0, toS: 4, cursorS: 2, under: 'nothing' });
  });

  it('goes from start to start, each with its first 100 ms', () => {
    expect(looked('page-up')).toMatchObject({ fromS: 0.995, toS: 1.1, cursorS: 1 });
    expect(looked('page-down')).toMatchObject({ cursorS: 2.5 });
    expect(looked('page-down', 'page-down')).toMatchObject({ cursorS: 2.5 });
  });

  it('zooms about the cursor, and never beyond the run or below 20 ms', () => {
    expect(looked('zoom-in')).toMatchObject({ fromS: 1, toS: 3, cursorS: 2 });
    expect(looked('zoom-in', 'zoom-out')).toMatchObject({ fromS: 0, toS: 4 });
    expect(looked('zoom-out')).toMatchObject({ fromS: 0, toS: 4 });
    const deep = looked(...Array.from({ length: 30 }, () => 'zoom-in' as const));
    expect(deep.toS - deep.fromS).toBeCloseTo(0.02, 9);
  });

  it('moves with a cursor that leaves it', () => {
    const moved = looked('zoom-in', 'zoom-in', ...Array.from({ length: 30 }, () => 'right' as const));
    expect(moved.cursorS).toBeCloseTo(2.6, 9);
    expect(moved.toS).toBeCloseTo(2.6, 9);
    expect(looked(...Array.from({ length: 80 }, () => 'left' as const))).toMatchObject({
      fromS: 0,
      cursorS: 0,
    });
  });

  it('lays one earlier run after the other under it, and knows no other key', () => {
    expect(looked('overlay').under).toBe('last-good');
    expect(looked('overlay', 'overlay').under).toBe('attempt-before');
    expect(looked('overlay', 'overlay', 'overlay').under).toBe('nothing');
    expect(lookAfter(wholeRun(RUN), 'accept', RUN)).toBeUndefined();
  });
});

describe('earlier runs of a sitting', () => {
  const told = (tag: string, outcome: 'pass' | 'fail', startsS: number[]) => {
    let view = reduceBench(EMPTY_VIEW, { kind: 'tray-started', units: [{ tag, profileTitle: 'Vent' }] });
    view = reduceBench(view, {
      ...{ kind: 'unit-started', index: 0, tag, profileId: 'vent', profileTitle: 'Vent' },
      ...{ circuitTitle: 'Any', steps: STEPS },
    });
    startsS.forEach((atS, i) => {
      view = reduceBench(view, { kind: 'step-started', index: i, step: STEPS[i]!, atS });
    });
    const judgement = scriptedJudgement(outcome);
    return reduceBench(view, { kind: 'judged', index: 0, tag, judgement, runId: 'run-1', durationS: 4 });
  };
  const traces = new TraceStore(10);
  traces.push({ timeS: Float64Array.of(1, 2), channels: { motorCurrentA: Float64Array.of(5, 6) } });

  it('are the last good one of the same profile, and the attempt before of the same unit', () => {
    const past = new PastRuns();
    past.keep(told('V-1', 'pass', [0, 1]), traces);
    past.keep(told('V-2', 'fail', [0, 1]), traces);
    expect(past.lastGood(told('V-3', 'fail', []))?.tag).toBe('V-1');
    expect(past.before(told('V-2', 'fail', []))?.tag).toBe('V-2');
    expect(past.before(told('V-3', 'fail', []))).toBeUndefined();
  });

  it('are moved so that the step that is looked at began together', () => {
    const past = new PastRuns();
    past.keep(told('V-1', 'pass', [0, 1]), traces);
    const run = past.lastGood(told('V-2', 'fail', []))!;
    expect([...alignedSeries(run, 'motorCurrentA', [0, 1.25], 1.5)!.timeS]).toEqual([1.25, 2.25]);
    expect([...alignedSeries(run, 'motorCurrentA', [0, 1.25], 0.5)!.timeS]).toEqual([1, 2]);
  });
});
