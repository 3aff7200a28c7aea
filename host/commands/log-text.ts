// Records in plain lines: the list of runs, and one run on a page.

import { oneLine } from '../input/index.js';
import { anchorOf, type RunRecord, type RunSummary } from '../records/index.js';
import {
  amount,
  countersText,
  DISPOSITION_WORDS,
  dayTime,
  retold,
  revisionWords,
  stopClause,
  VERDICT_WORDS,
  wayText,
} from '../tell/index.js';
import { judgementText } from './judgement-text.js';
import { tableLines } from './table.js';

/** A reason in less says nothing. */
const LEAST_REASON_COLUMNS = 40;

/** One row a run; cut to `columns` where that is given, the reason beneath where it has no room. Ends with a line break. */
export function runTable(runs: readonly RunSummary[], columns?: number): string {
  const rows = [
    ['run', 'when', 'unit', 'verdict', 'profile', 'reason'],
    ...runs.map((run) => [
      run.runId,
      when(run.startedAt),
      run.tag,
      verdictOf(run),
      run.profileId,
      retold([run.doubt, run.sentence].filter((text) => text !== undefined).join('; ')),
    ]),
  ].map((cells) => cells.map(oneLine));
  const cut = (line: string): string =>
    columns !== undefined && line.length > columns ? `${line.slice(0, columns - 1)}…` : line;
  const heads = tableLines(rows.map((cells) => cells.slice(0, -1)));
  const isNarrow =
    columns !== undefined && Math.max(...heads.map((line) => line.length)) + LEAST_REASON_COLUMNS > columns;
  const lines = isNarrow
    ? heads.flatMap((line, i) => [line, ...(i === 0 ? [] : [`  ${rows[i]?.at(-1) ?? ''}`])])
    : tableLines(rows);
  return lines
    .map(cut)
    .map((line) => `${line}\n`)
    .join('');
}

/** What a customer can be shown of the record; the rest is `technicalText`. */
export function recordText(run: RunRecord): string {
  const { rig, unit, stop, hash } = run;
  const head = namedLines([
    ['run', run.runId],
    ['unit', `${run.tag}, ${unit.unit.title}`],
    ['circuit', unit.style.title],
    ['started', when(run.startedAt) + (run.endedAt === undefined ? '' : `, ended ${when(run.endedAt)}`)],
    rig.isHandMeter
      ? ['meter', 'hand meter, readings typed; no rig']
      : [
          'rig',
          `${rig.rigId}, ${rig.model}, ${revisionWords(rig)}, protocol ${rig.protocolVersion}, on ${rig.port}`,
        ],
    ['attempt', run.attempt === undefined || run.attempt === 1 ? undefined : `${run.attempt}`],
    ['operator', run.operator],
    ['decided', run.disposition && decidedText(run)],
    ['job', run.job],
    ['zone', zoneText(run)],
    ['limits', learnedText(run)],
    ['IN DOUBT', run.doubt && retold(run.doubt.replace(/^in doubt: /, ''))],
    ['forward', run.judgement?.way && wayText(run.judgement.way)],
    ['stopped', stop && `at ${amount(stop.atS, 's', 3)}: ${stopClause(stop.reason)}`],
    ['anchor', hash && anchorOf(hash)],
  ]);
  if (run.judgement) return `${head}\n${judgementText(run.judgement)}`;
  return `${head}\n${verdictOf(run)}  ${oneLine(retold(run.sentence ?? ''))}`.trimEnd().concat('\n');
}

/** `to be reworked: coil of K2 open (day shift)`; empty where nothing stands decided. */
export function decidedText({ disposition, decidedReason, decidedBy, operator }: RunRecord): string {
  if (disposition === undefined) return '';
  const why = decidedReason === undefined ? '' : `: ${decidedReason}`;
  // Who decided is worth a word where it is not who tested.
  const who = decidedBy === undefined || (decidedBy === operator && why === '') ? '' : ` (${decidedBy})`;
  return `${DISPOSITION_WORDS[disposition]}${why}${who}`;
}

/** `of 6 good units, good.yaml, entry cd4293c1d343`; undefined where a run was held to no learned limits. */
export function learnedText({ learnedFrom }: RunRecord): string | undefined {
  if (learnedFrom === undefined) return undefined;
  const { units, file, entry } = learnedFrom;
  const by = `of ${units} good units`;
  if (file === undefined) return `${by}; the record does not tell from which file`;
  if (entry === undefined) return `${by}, ${file.name}; no entry of this record tells of that file`;
  return `${by}, ${file.name}, entry ${anchorOf(entry.hash)} of ${when(entry.at)}`;
}

/** What the workshop keeps of how the run went: counters, versions, the whole hash. */
export function technicalText({ toolVersion, samples, samplesRemoved, counters, hash }: RunRecord): string {
  const counted = countersText(counters);
  const lines = namedLines([
    ['program', toolVersion],
    [
      'samples',
      samplesRemoved === undefined
        ? `${samples}`
        : `${samplesRemoved.samples}, taken out on ${when(samplesRemoved.at)}; they lie in ${samplesRemoved.archive}`,
    ],
    ['link', counted === '' ? undefined : counted],
    ['hash', hash],
  ]);
  return `\nFor the workshop:\n${lines}`;
}

/** Lines of the link as they came; empty unless `isAsked`. */
export function rawText(lines: readonly string[], isAsked: boolean): string {
  if (!isAsked) return '';
  if (lines.length === 0) return '\nLines of the link: none were kept.\n';
  return `\nLines of the link, the last ${lines.length}:\n${lines.map((line) => `${oneLine(line)}\n`).join('')}`;
}

const namedLines = (lines: readonly (readonly [name: string, text: string | undefined])[]): string =>
  lines
    .flatMap(([name, text]) => (text === undefined ? [] : [`${name.padEnd(8)} ${oneLine(text)}\n`]))
    .join('');

/** In words, with what stands against it. */
export function verdictOf({ status, verdict, doubt }: RunSummary): string {
  if (status === 'running') return 'running';
  const word = verdict === undefined ? '' : VERDICT_WORDS[verdict];
  const told = status === 'aborted' ? `${word} (aborted)` : word;
  return doubt === undefined ? told : `${told} (in doubt)`;
}

/** `UTC+01:00, Europe/Vienna`: of the bench, on that day; undefined in older records. */
export function zoneText({
  zone,
  utcOffsetMin,
}: Pick<RunSummary, 'zone' | 'utcOffsetMin'>): string | undefined {
  if (zone === undefined || utcOffsetMin === undefined) return undefined;
  if (zone === 'UTC') return zone;
  const two = (value: number): string => String(Math.floor(value)).padStart(2, '0');
  const ahead = Math.abs(utcOffsetMin);
  return `UTC${utcOffsetMin < 0 ? '-' : '+'}${two(ahead / 60)}:${two(ahead % 60)}, ${zone}`;
}

/** Wall clock of where the reader stands, to the second. */
export function when(iso: string): string {
  const date = new Date(iso);
  if (Number.isNaN(date.getTime())) return iso;
  return dayTime(date);
}
