// The bench told to programs: one JSON object a line (NDJSON), one for each unit and one at the end. Keys are only
// ever added. The judgement's own part has the shape of `judge --json`.

import type { BenchEvent } from '../bench/index.js';
import { judgementJson } from '../judge/index.js';
import { type BenchView, trayVerdict } from '../screens/index.js';

/** The line for one event, without its line break, or undefined for events that are not told. */
export function jsonLine(event: BenchEvent, view: BenchView): string | undefined {
  if (event.kind === 'judged') {
    const { tag, runId, durationS, judgement } = event;
    return JSON.stringify({
      kind: 'unit',
      tag,
      runId,
      durationS,
      aborted: false,
      ...judgementJson(judgement),
    });
  }
  if (event.kind === 'unit-aborted') {
    const { tag, runId, sentence } = event;
    const { advice, stopReason } = view.units[event.index] ?? {};
    return JSON.stringify({
      kind: 'unit',
      tag,
      runId,
      aborted: true,
      verdict: 'cannot-tell',
      sentence,
      stopReason,
      advice,
      checks: [],
      findings: [],
      measured: {},
    });
  }
  if (event.kind === 'circuit') return JSON.stringify(event);
  return undefined;
}

/** The closing line. */
export function jsonSummary(view: BenchView): string {
  const count = (verdict: string): number => view.units.filter((unit) => unit.verdict === verdict).length;
  return JSON.stringify({
    kind: 'summary',
    verdict: trayVerdict(view),
    units: view.units.length,
    passed: count('pass'),
    failed: count('fail'),
    cannotTell: count('cannot-tell'),
    notRun: view.units.filter((unit) => unit.verdict === undefined).length,
  });
}
