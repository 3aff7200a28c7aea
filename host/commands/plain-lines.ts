// The bench told in plain lines, for pipes, logs and screen readers: one line an event worth telling, then a table.

import type { BenchEvent } from '../bench/index.js';
import {
  type BenchView,
  countWords,
  outcomeSymbol,
  printable,
  type Theme,
  topFinding,
  trayCounts,
  type UnitView,
  wrapWords,
} from '../screens/index.js';
import {
  capitalised,
  chance,
  DISPOSITION_WORDS,
  GRADE_WORDS,
  GRADED_WORDS,
  lowered,
  OUTCOME_WORDS,
  retold,
  revisionWords,
  stopClause,
  VERDICT_WORDS,
  wayText,
  withoutStop,
} from '../tell/index.js';

/** Lines for one event, given the view after it; empty for what is only worth seeing live. */
export function plainLines(event: BenchEvent, view: BenchView, theme: Theme): string[] {
  return linesOf(event, view, theme).map((line) => printable(theme, line));
}

function linesOf(event: BenchEvent, view: BenchView, theme: Theme): string[] {
  switch (event.kind) {
    case 'caution':
      return ['Before the first throw:', ...event.lines.map((line) => `  ! ${line}`)];
    case 'hook-up':
      return [`Hook up ${event.tag}, supply off:`, ...event.lines.map((line) => `  - ${line}`)];
    case 'rig-ready': {
      const { rigId, model, port } = event.rig;
      return [`  rig ${rigId}, ${model}, ${revisionWords(event.rig)}, on ${port}`];
    }
    case 'unit-started': {
      const count = view.units.length > 1 ? ` (${event.index + 1} of ${view.units.length})` : '';
      return ['', `${event.tag}${count}: ${event.profileTitle}; ${event.circuitTitle}`];
    }
    case 'prompt':
      return event.prompt.sentence === '' ? [] : [`  > ${event.prompt.sentence}`];
    case 'circuit':
      return [`  ${event.sentence}`];
    case 'stopped':
      return [`  stopped: ${stopClause(event.reason)}. ${event.advice}`];
    case 'trouble':
      return [`  warning: ${retold(event.sentence)}`, `  what to do: ${event.advice}`];
    case 'judged': {
      const unit = view.units[event.index];
      return unit === undefined ? [] : judgedLines(unit, theme);
    }
    case 'unit-aborted':
      return [`  ${VERDICT_WORDS['cannot-tell']}: ${retold(event.sentence)}${recordOf(event.runId)}`];
    default:
      return [];
  }
}

function judgedLines(unit: UnitView, theme: Theme): string[] {
  const finding = topFinding(unit);
  return [
    `  ${VERDICT_WORDS[unit.verdict ?? 'cannot-tell']}: ${unit.sentence}${recordOf(unit.runId)}`,
    ...(finding
      ? [
          `  likely, ${chance(finding)}: ${finding.sentence}`,
          `  next probe: ${finding.nextProbe}`,
          ...(finding.proof ?? []).map((reading) => `  shown by: ${reading}`),
        ]
      : []),
    ...(unit.way && unit.way.inDoubt === undefined ? [`  forward: ${wayText(unit.way)}`] : []),
    ...(unit.grade?.reasons ?? [])
      .filter(({ about }) => about !== 'fault')
      .map(
        ({ about, grade, sentence }) =>
          `  ${lowered(GRADED_WORDS[about])}, ${GRADE_WORDS[grade]}: ${sentence}`,
      ),
    ...unit.checks
      .filter((check) => check.outcome !== 'pass')
      .map(
        (check) =>
          `  ${outcomeSymbol(theme, check.outcome)} ${OUTCOME_WORDS[check.outcome]}: ${check.sentence}`,
      ),
  ];
}

const recordOf = (runId: string | undefined): string => (runId === undefined ? '' : ` (record ${runId})`);

/** Where to go next, of a unit whose sentence does not say it. */
function probeOf(unit: UnitView): string {
  const probe = topFinding(unit)?.nextProbe;
  if (probe === undefined || unit.verdict === 'pass' || unit.sentence.includes(withoutStop(probe))) return '';
  return ` Next probe: ${probe}`;
}

const WORD_COLUMNS = 11;

/** One row a unit with verdict and reason, then the count; reasons wrap where `columns` is given. Ends with a line break. */
export function closingTable(view: BenchView, theme: Theme, columns?: number): string {
  const tagWidth = Math.max(4, ...view.units.map((unit) => unit.tag.length));
  const reasonAt = tagWidth + WORD_COLUMNS + 4;
  const row = (tag: string, word: string, reason: string): string[] => {
    const room = columns === undefined ? Number.POSITIVE_INFINITY : Math.max(20, columns - reasonAt - 1);
    return wrapWords(printable(theme, reason), room).map((line, i) =>
      `${(i === 0 ? `${printable(theme, tag).padEnd(tagWidth)}  ${word.padEnd(WORD_COLUMNS)}  ` : '').padEnd(reasonAt)}${line}`.trimEnd(),
    );
  };
  const rows = [
    row('unit', 'verdict', 'reason'),
    ...view.units.map((unit) => {
      const { tag, verdict, sentence, disposition } = unit;
      // What was decided comes first: that is what is done with the unit now.
      const decided = disposition ? `${capitalised(DISPOSITION_WORDS[disposition])}. ` : '';
      const reason = `${decided}${sentence}${probeOf(unit)}`;
      return row(tag, verdict ? VERDICT_WORDS[verdict] : 'NOT RUN', reason);
    }),
  ].flat();
  const counts = trayCounts(view);
  const count = `${countWords(counts)}${counts.notRun > 0 ? `, ${counts.notRun} not run` : ''}`;
  return `${[...rows, count].join('\n')}\n`;
}
