// The bench told to programs: one JSON object a line (NDJSON), one for each unit and one at the end. Keys are only
// ever added. The judgement's own part has the shape of `judge --json`.

import type { BenchEvent } from '../bench/index.js';
import { judgementJson } from '../judge/index.js';
import { type BenchView, trayCounts, trayVerdict } from '../screens/index.js';

/** The line for one event, without its line break, or undefined for events that are not told. */
export function jsonLine(event: BenchEvent, view: BenchView): string | undefined {
  if (event.kind === 'circuit') return JSON.stringify(event);
  if (event.kind !== 'judged' && event.kind !== 'unit-aborted') return undefined;
  const { tag, runId } = event;
  const unit = { kind: 'unit', tag, runId };
  if (event.kind === 'judged') {
    const { durationS, judgement } = event;
    return JSON.stringify({ ...unit, durationS, aborted: false, ...judgementJson(judgement) });
  }
  const { sentence } = event;
  const { advice, stopReason } = view.units[event.index] ?? {};
  const told = { verdict: 'cannot-tell', sentence, stopReason, advice };
  return JSON.stringify({ ...unit, aborted: true, ...told, checks: [], findings: [], measured: {} });
}

/** The closing line. */
export function jsonSummary(view: BenchView): string {
  const summary = { kind: 'summary', verdict: trayVerdict(view), units: view.units.length };
  return JSON.stringify({ ...summary, ...trayCounts(view) });
}
