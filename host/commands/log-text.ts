// Records in plain lines: the list of runs, and one run on a page.

import { oneLine } from '../input/index.js';
import type { RunRecord, RunSummary } from '../records/index.js';
import {
  amount,
  countersText,
  DISPOSITION_WORDS,
  localTime,
  stopClause,
  VERDICT_WORDS,
} from '../tell/index.js';
import { judgementText } from './judgement-text.js';
import { tableLines } from './table.js';

/** One row a run; cut to `columns` where that is given. Ends with a line break. */
export function runTable(runs: readonly RunSummary[], columns?: number): string {
  const rows = [
    ['run', 'when', 'unit', 'verdict', 'profile', 'reason'],
    ...runs.map((run) => [
      run.runId,
      when(run.startedAt),
      run.tag,
      verdictOf(run),
      run.profileId,
      [run.doubt, run.sentence].filter((text) => text !== undefined).join('; '),
    ]),
  ].map((cells) => cells.map(oneLine));
  return tableLines(rows)
    .map((line) => (columns !== undefined && line.length > columns ? `${line.slice(0, columns - 1)}…` : line))
    .map((line) => `${line}\n`)
    .join('');
}

/** The whole record but samples and raw lines. */
export function recordText(run: RunRecord): string {
  const { rig, unit, counters, stop } = run;
  const counted = countersText(counters);
  const lines = [
    ['run', run.runId],
    ['unit', `${run.tag}, ${unit.unit.title}`],
    ['circuit', unit.style.title],
    ['started', when(run.startedAt) + (run.endedAt === undefined ? '' : `, ended ${when(run.endedAt)}`)],
    [
      'rig',
      `${rig.rigId}, ${rig.model}, firmware ${rig.firmwareVersion}, protocol ${rig.protocolVersion}, on ${rig.port}`,
    ],
    ...(run.attempt === undefined || run.attempt === 1 ? [] : [['attempt', `${run.attempt}`]]),
    ...(run.operator === undefined ? [] : [['operator', run.operator]]),
    ...(run.disposition === undefined ? [] : [['decided', DISPOSITION_WORDS[run.disposition]]]),
    ['program', run.toolVersion],
    ['samples', `${run.samples}`],
    ...(run.doubt === undefined ? [] : [['IN DOUBT', run.doubt.replace(/^in doubt: /, '')]]),
    ...(stop === undefined
      ? []
      : [['stopped', `at ${amount(stop.atS, 's', 3)}: ${stopClause(stop.reason)}`]]),
    ...(counted === '' ? [] : [['link', counted]]),
    ...(run.hash === undefined ? [] : [['hash', run.hash]]),
  ] as [string, string][];
  const head = lines.map(([name, text]) => `${name.padEnd(8)} ${oneLine(text)}\n`).join('');
  if (run.judgement) return `${head}\n${judgementText(run.judgement)}`;
  return `${head}\n${verdictOf(run)}  ${oneLine(run.sentence ?? '')}`.trimEnd().concat('\n');
}

/** In words, with what stands against it. */
export function verdictOf({ status, verdict, doubt }: RunSummary): string {
  if (status === 'running') return 'running';
  const word = verdict === undefined ? '' : VERDICT_WORDS[verdict];
  const told = status === 'aborted' ? `${word} (aborted)` : word;
  return doubt === undefined ? told : `${told} (in doubt)`;
}

/** Wall clock of where the reader stands, to the second. */
export function when(iso: string): string {
  const date = new Date(iso);
  if (Number.isNaN(date.getTime())) return iso;
  const { day, time } = localTime(date);
  return `${day} ${time}`;
}
