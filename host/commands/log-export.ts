// Recorded runs for other programs: a table as CSV by RFC 4180, or one JSON object a line. Every number's column says
// its unit.

import { anchorOf, type RunRecord } from '../records/index.js';
import { quantitiesJson } from '../tell/index.js';

export interface ExportColumn {
  head: string;
  cell: (run: RunRecord) => string | number | undefined;
}

const COLUMNS: readonly ExportColumn[] = [
  { head: 'run', cell: ({ runId }) => runId },
  { head: 'unit', cell: ({ tag }) => tag },
  { head: 'profile', cell: ({ profileId }) => profileId },
  { head: 'started_at', cell: ({ startedAt }) => startedAt },
  { head: 'ended_at', cell: ({ endedAt }) => endedAt },
  { head: 'status', cell: ({ status }) => status },
  { head: 'verdict', cell: ({ verdict }) => verdict },
  { head: 'reason', cell: ({ sentence }) => sentence },
  { head: 'cause', cell: ({ judgement }) => judgement?.findings[0]?.id },
  {
    head: 'cause_likelihood_percent',
    cell: ({ judgement }) => {
      const likelihood = judgement?.findings[0]?.likelihood;
      return likelihood === undefined ? undefined : Math.round(1000 * likelihood) / 10;
    },
  },
  { head: 'next_probe', cell: ({ judgement }) => judgement?.findings[0]?.nextProbe },
  { head: 'in_doubt', cell: ({ doubt }) => doubt },
  { head: 'attempt', cell: ({ attempt }) => attempt },
  { head: 'operator', cell: ({ operator }) => operator },
  { head: 'decided', cell: ({ disposition }) => disposition },
  { head: 'decided_by', cell: ({ decidedBy }) => decidedBy },
  { head: 'decided_reason', cell: ({ decidedReason }) => decidedReason },
  { head: 'job', cell: ({ job }) => job },
  { head: 'zone', cell: ({ zone }) => zone },
  { head: 'utc_offset_min', cell: ({ utcOffsetMin }) => utcOffsetMin },
  { head: 'rig', cell: ({ rig }) => rig.rigId },
  { head: 'program', cell: ({ toolVersion }) => toolVersion },
  { head: 'anchor', cell: ({ hash }) => (hash === undefined ? undefined : anchorOf(hash)) },
];

/** Which way the output went when it was thrown forward, as it was answered: `up`, `did not move`. */
const WAY: ExportColumn = { head: 'way', cell: ({ judgement }) => judgement?.way?.words };

/**
 * What is told of each run; readings follow, each with its ± beside it, and last the answer that no reading gives. Absent
 * where it was not measured, or not asked.
 */
export function exportColumns(runs: readonly RunRecord[]): ExportColumn[] {
  const units = new Map<string, string>();
  for (const { judgement } of runs)
    for (const [key, { unit }] of Object.entries(judgement?.measured ?? {})) units.set(key, unit);
  const readings = [...units].flatMap(([key, unit]): ExportColumn[] => [
    { head: `${key} [${unit}]`, cell: ({ judgement }) => judgement?.measured[key]?.value },
    {
      head: `${key} plus-minus [${unit}]`,
      cell: ({ judgement }) => judgement?.measured[key]?.expandedUncertainty,
    },
  ]);
  return [...COLUMNS, ...readings, WAY];
}

/** How a table is written as CSV. */
export interface CsvForm {
  /** What stands at its very beginning. */
  mark: string;
  separator: ',' | ';';
  decimal: '.' | ',';
}

export const RFC_4180: CsvForm = { mark: '', separator: ',', decimal: '.' };
/** As spreadsheets of half the world write and read it: without the mark they take UTF-8 for their own old letters. */
export const DECIMAL_COMMA: CsvForm = { mark: '\ufeff', separator: ';', decimal: ',' };

/** A table by RFC 4180 in another form: numbers and separators change, texts stay. */
export const inForm = (csv: string, { mark, separator, decimal }: CsvForm): string =>
  mark +
  csv.replace(CELL, (_all, quotedText?: string, cell?: string) => {
    if (quotedText !== undefined) return quotedText;
    if (cell === undefined) return separator;
    return NUMBER.test(cell) ? cell.replace('.', decimal) : quoted(cell);
  });
const CELL = /("(?:[^"]|"")*")|([^,\r\n"]+)|,/g;
const NUMBER = /^-?\d+\.\d+(?:e[+-]?\d+)?$/i;

export function runsCsv(runs: readonly RunRecord[], { mark, separator, decimal }: CsvForm): string {
  const columns = exportColumns(runs);
  const told = (cell: string | number): string =>
    typeof cell === 'number' ? String(cell).replace('.', decimal) : guarded(cell);
  const rows = [
    columns.map(({ head }) => head),
    ...runs.map((run) => columns.map(({ cell }) => told(cell(run) ?? ''))),
  ];
  return `${mark}${rows.map((cells) => `${cells.map(quoted).join(separator)}\r\n`).join('')}`;
}

/**
 * A spreadsheet takes a text that begins so for a formula, and would work it out (OWASP, CSV Injection): an apostrophe
 * in front keeps it a text. Numbers stay as they are, their minus too.
 */
const guarded = (cell: string): string => (/^[=+\-@\t\r]/.test(cell) ? `'${cell}` : cell);

/** RFC 4180, 2.6 and 2.7; the semicolon too, for those who part cells by it. */
const quoted = (cell: string): string => (/[",;\r\n]/.test(cell) ? `"${cell.replaceAll('"', '""')}"` : cell);

/** The keys of `log show --json`, without profile. */
export const runsJsonl = (runs: readonly RunRecord[]): string =>
  runs
    .map(({ judgement, unit: _, ...record }) => {
      const told = judgement && { ...judgement, measured: quantitiesJson(judgement.measured) };
      return `${JSON.stringify({ ...record, ...told })}\n`;
    })
    .join('');
