import { afterEach, describe, expect, it } from 'vitest';
import type { BenchEvent } from '../../host/bench/index.js';
import {
  type BenchView,
  EMPTY_VIEW,
  reduceBench,
  stepSpans,
  topFinding,
  trayVerdict,
} from '../../host/screens/index.js';
import { PLAIN_FORMS, settleForms } from '../../host/tell/index.js';
import { type ScriptOptions, STEPS, scriptedTray, TRAY } from './scripted-bench.js';

async function eventsOf(options: ScriptOptions = {}): Promise<BenchEvent[]> {
  const events: BenchEvent[] = [];
  for await (const event of scriptedTray(options)) events.push(event);
  return events;
}

const reduceAll = (events: BenchEvent[]): BenchView => events.reduce(reduceBench, EMPTY_VIEW);

afterEach(() => settleForms(PLAIN_FORMS));

describe('reduction of bench events to a view', () => {
  it('tells temperatures as they are settled, and leaves the judgement that is recorded as it is', async () => {
    const limits = 'Limits hold for a coil of 0 to 40 °C.';
    const events = (await eventsOf()).map((event): BenchEvent => {
      if (event.kind === 'check') return { ...event, check: { ...event.check, sentence: limits } };
      if (event.kind !== 'judged') return event;
      const checks = event.judgement.checks.map((check) => ({ ...check, sentence: limits }));
      return { ...event, judgement: { ...event.judgement, sentence: limits, checks } };
    });
    settleForms({ ...PLAIN_FORMS, temperature: 'F' });
    const atJudged = events.findIndex(({ kind }) => kind === 'judged');
    const told = 'Limits hold for a coil of 32 to 104 °F.';
    for (const upTo of [atJudged, atJudged + 1]) {
      const checks = reduceAll(events.slice(0, upTo)).units[0]?.checks ?? [];
      expect(new Set(checks.map(({ sentence }) => sentence))).toEqual(new Set([told]));
    }
    expect(reduceAll(events.slice(0, atJudged + 1)).units[0]?.sentence).toBe(told);
    expect(events[atJudged]).toMatchObject({ judgement: { sentence: limits } });
  });

  it('has all units waiting once the tray has started', async () => {
    const events = await eventsOf();
    const at = events.findIndex(({ kind }) => kind === 'unit-started');
    const view = reduceAll(events.slice(0, at));
    expect(view.units.map(({ tag, state }) => [tag, state])).toEqual(TRAY.map(({ tag }) => [tag, 'waiting']));
    expect(view.current).toBe(-1);
    expect(view.cautions).toHaveLength(2);
  });

  it('knows position, feed and step while one is thrown, and that outputs are off when the unit is told', async () => {
    const events = await eventsOf();
    const atForward = events.findIndex((event) => event.kind === 'step-started' && event.index === 1);
    const thrown = reduceAll(events.slice(0, atForward + 1));
    expect(thrown).toMatchObject({ position: 'forward', feed: 'full', stepIndex: 1, current: 0 });
    const atJudged = events.findIndex(({ kind }) => kind === 'judged');
    const told = reduceAll(events.slice(0, atJudged + 1));
    expect(told).toMatchObject({ position: 'rest', feed: 'off', stepIndex: -1 });
    expect(told.units[0]).toMatchObject({ state: 'told', verdict: 'pass', runId: 'run-1', aborted: false });
  });

  it('shows checks of the unit as they fall', async () => {
    const events = await eventsOf();
    const first = events.findIndex(({ kind }) => kind === 'check');
    expect(reduceAll(events.slice(0, first + 2)).units[0]!.checks.map(({ id }) => id)).toEqual([
      'rest-leads',
      'forward-polarity',
    ]);
  });

  it('tells the tray as fail when one unit failed, whatever the others say', async () => {
    const view = reduceAll(await eventsOf());
    expect(view.units.map(({ verdict }) => verdict)).toEqual(['pass', 'fail', 'cannot-tell', 'pass']);
    expect(view.finished).toEqual({ passed: 2, failed: 1, cannotTell: 1 });
    expect(trayVerdict(view)).toBe('fail');
  });

  it('tells the tray as pass only when every unit passed', async () => {
    const passing = TRAY.filter(({ outcome }) => outcome === 'pass');
    expect(trayVerdict(reduceAll(await eventsOf({ units: passing })))).toBe('pass');
    const doubtful = TRAY.filter(({ outcome }) => outcome !== 'fail');
    expect(trayVerdict(reduceAll(await eventsOf({ units: doubtful })))).toBe('cannot-tell');
    expect(trayVerdict(EMPTY_VIEW)).toBe('cannot-tell');
  });

  it('never tells pass for a tray that was stopped before its last unit', async () => {
    const abort = new AbortController();
    const passing = TRAY.filter(({ outcome }) => outcome === 'pass');
    const events = await eventsOf({
      units: passing,
      signal: abort.signal,
      beforeUnit: async ({ index }) => {
        if (index === 1) abort.abort();
        return 'go';
      },
    });
    const view = reduceAll(events);
    expect(view.units.map(({ state }) => state)).toEqual(['told', 'waiting']);
    expect(trayVerdict(view)).toBe('cannot-tell');
  });

  it('keeps sentence and advice of rig trouble with an aborted unit, and no record where there is none', async () => {
    const trouble = { index: 0, sentence: 'the rig did not answer', advice: 'Check the cable.' };
    const unit = reduceAll(await eventsOf({ trouble })).units[0]!;
    expect(unit).toMatchObject({ verdict: 'cannot-tell', aborted: true, sentence: trouble.sentence });
    expect(unit.advice).toBe('Check the cable.');
    expect(unit.runId).toBeUndefined();
  });

  it('starts a unit afresh when its tag comes a second time', async () => {
    const events = await eventsOf({ units: [{ tag: 'V-0101', outcome: 'fail' }] });
    const again = reduceAll([...events, ...events.filter(({ kind }) => kind === 'unit-started')]);
    expect(again.units[0]).toMatchObject({ state: 'on-bench', checks: [], findings: [], sentence: '' });
    expect(again.units[0]!.verdict).toBeUndefined();
  });

  it('ignores events of a kind it does not know', () => {
    expect(reduceBench(EMPTY_VIEW, { kind: 'of-tomorrow' } as unknown as BenchEvent)).toBe(EMPTY_VIEW);
  });

  it('lays out steps as they happened, and as planned from there on', async () => {
    const events = await eventsOf();
    const atForward = events.findIndex((event) => event.kind === 'step-started' && event.index === 1);
    const spans = stepSpans(reduceAll(events.slice(0, atForward + 1)));
    expect(spans.map(({ step }) => step)).toEqual(STEPS);
    // Lead-in of 0.2 s, then 0.4, 0.8, 0.6, 0.8 and 0.6 s by the script.
    const starts = [0.2, 0.6, 1.4, 2.0, 2.8];
    spans.forEach(({ fromS }, i) => {
      expect(fromS).toBeCloseTo(starts[i]!, 9);
    });
    expect(spans.at(-1)!.toS).toBeCloseTo(3.4, 9);
  });

  it('takes the likeliest finding, not the first', () => {
    const finding = (id: string, likelihood: number) => ({ id, likelihood, sentence: '', nextProbe: '' });
    const unit = { findings: [finding('a', 0.2), finding('b', 0.6), finding('c', 0.1)] } as never;
    expect(topFinding(unit)?.id).toBe('b');
  });
});
