// What is told under a verdict at 80 x 24: nothing of cause, next probe and their readings is cut.

import { describe, expect, it } from 'vitest';
import { faultsOfUnit } from '../../host/circuit/index.js';
import { findingOf } from '../../host/diagnose/ranking.js';
import type { Finding } from '../../host/judge/index.js';
import { loadUnit } from '../../host/profile/index.js';
import { BenchController, EMPTY_VIEW, reduceBench, type UnitView } from '../../host/screens/index.js';
import { toldLines } from '../../host/screens/told-lines.js';
import { frameOf, UNICODE } from './fake-terminal.js';
import { STEPS, scriptedJudgement } from './scripted-bench.js';
import { StepClock } from './step-clock.js';

/** Rows and columns of the words in a window of 80 x 24 once a unit is told. */
const SMALL = { columns: 79, rows: 15 };

const UNITS = ['entry-step-relays', 'window-lift-switch', 'roof-vent-by-hand', 'seat-slide-relays'].map(
  (id) => loadUnit(id),
);

const unitOf = (finding: Finding): UnitView => {
  const view = reduceBench(EMPTY_VIEW, {
    kind: 'tray-started',
    units: [{ tag: 'V-1', profileTitle: 'Any' }],
  });
  const judgement = { ...scriptedJudgement('fail'), says: 'cause' as const, findings: [finding] };
  return reduceBench(
    { ...view, current: 0 },
    { kind: 'judged', index: 0, tag: 'V-1', judgement, runId: 'run-1', durationS: 4 },
  ).units[0]!;
};

describe('words under a verdict in a small window', () => {
  it.each(UNITS.map((unit) => [unit.unit.id, unit] as const))(
    'hold the longest groups of %s whole',
    (_id, unit) => {
      const faults = faultsOfUnit(unit);
      const longest = [...faults].sort((a, b) => b.sentence.length - a.sentence.length).slice(0, 4);
      const probe = [...faults].sort((a, b) => b.nextProbe.length - a.nextProbe.length)[0]!.nextProbe;
      const finding = findingOf(
        longest.map((hypothesis) => ({
          entry: { hypothesis: { ...hypothesis, owner: 'harness' } },
          likelihood: 0.2,
        })),
      );
      // Two questions' answers stand behind the probe of a group, each with a cause.
      const nextProbe = `${probe} ${longest
        .slice(0, 2)
        .map(({ cause }) => `12.4 V: ${cause}`)
        .join('; ')}.`;
      const proof = [
        'Feed current that does not come through the motor lead, reverse (limited feed): 0.9 A, a good unit 1 mA.',
        'Resistance from supply to driven lead, reverse: 0.6 Ω, a good unit 0.1 Ω.',
      ];
      const lines = toldLines(unitOf({ ...finding, nextProbe, proof }), UNICODE, SMALL.columns, SMALL.rows);
      const text = (label: string): string =>
        lines.find((one) => one.label.startsWith(label))?.lines.join(' ') ?? '';
      expect(lines.flatMap((one) => one.lines).length).toBeLessThanOrEqual(SMALL.rows);
      expect(lines.flatMap((one) => one.lines).join('')).not.toContain('…');
      expect(text('Next probe')).toBe(nextProbe);
      expect(text('Shown by')).toBe(proof.join(' '));
      expect(text('Likely').toLowerCase()).toContain(longest[0]!.sentence.replace(/\.$/, '').toLowerCase());
    },
  );

  it('say of a pass what it does, and how near it came to a limit', () => {
    const controller = new BenchController({
      ...{ stop: () => undefined, clock: new StepClock(), startsByItself: true },
    });
    controller.take({ kind: 'tray-started', units: [{ tag: 'V-1', profileTitle: 'Any' }] });
    controller.take({
      ...{ kind: 'unit-started', index: 0, tag: 'V-1', profileId: 'any', profileTitle: 'Any' },
      ...{ circuitTitle: 'Any', steps: STEPS },
    });
    const does = [
      { about: 'runs', words: 'runs at 4.5 A', read: '4.5 A forward and 4.4 A reverse' },
      { about: 'closest', words: 'Any.', read: 'Forward: runs at 4.5 A (at most 4.6 A).' },
    ] as const;
    const judgement = { ...scriptedJudgement('pass'), says: 'pass' as const, does };
    controller.take({ kind: 'judged', index: 0, tag: 'V-1', judgement, runId: 'run-1', durationS: 4 });
    const text = frameOf({
      ...{ state: controller.state, traces: controller.traces, theme: UNICODE, columns: 80, rows: 24 },
    });
    expect(text).toMatch(/Runs at: +4\.5 A forward and 4\.4 A reverse/);
    expect(text).toMatch(/Closest: +Forward: runs at 4\.5 A \(at most 4\.6 A\)\./);
  });
});
