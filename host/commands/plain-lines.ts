// The bench told in plain lines, for pipes, logs and screen readers: one line an event worth telling, then a table.

import type { BenchEvent } from '../bench/index.js';
import {
  type BenchView,
  outcomeSymbol,
  percent,
  printable,
  type Theme,
  topFinding,
  type UnitView,
  VERDICT_WORDS,
} from '../screens/index.js';

/** Lines for one event, given the view after it; empty for what is only worth seeing live. */
export function plainLines(event: BenchEvent, view: BenchView, theme: Theme): string[] {
  return linesOf(event, view, theme).map((line) => printable(theme, line));
}

function linesOf(event: BenchEvent, view: BenchView, theme: Theme): string[] {
  switch (event.kind) {
    case 'caution':
      return ['Before the first throw:', ...event.lines.map((line) => `  ! ${line}`)];
    case 'rig-ready': {
      const { rigId, model, firmwareVersion, port } = event.rig;
      return [`  rig ${rigId}, ${model}, firmware ${firmwareVersion}, on ${port}`];
    }
    case 'unit-started': {
      const count = view.units.length > 1 ? ` (${event.index + 1} of ${view.units.length})` : '';
      return ['', `${event.tag}${count}: ${event.profileTitle}; ${event.circuitTitle}`];
    }
    case 'stopped':
      return [`  stopped: ${event.reason}. ${event.advice}`];
    case 'trouble':
      return [`  trouble: ${event.sentence}`, `  what to do: ${event.advice}`];
    case 'judged': {
      const unit = view.units[event.index];
      return unit === undefined ? [] : judgedLines(unit, theme);
    }
    case 'unit-aborted':
      return [`  ${VERDICT_WORDS['cannot-tell']}: ${event.sentence}${recordOf(event.runId)}`];
    default:
      return [];
  }
}

function judgedLines(unit: UnitView, theme: Theme): string[] {
  const finding = topFinding(unit);
  return [
    ...unit.checks
      .filter((check) => check.outcome !== 'pass')
      .map((check) => `  ${outcomeSymbol(theme, check.outcome)} ${check.outcome}: ${check.sentence}`),
    `  ${VERDICT_WORDS[unit.verdict ?? 'cannot-tell']}: ${unit.sentence}${recordOf(unit.runId)}`,
    ...(finding
      ? [
          `  likely, ${percent(finding.likelihood)}: ${finding.sentence}`,
          `  next probe: ${finding.nextProbe}`,
        ]
      : []),
  ];
}

const recordOf = (runId: string | undefined): string => (runId === undefined ? '' : ` (record ${runId})`);

/** One row a unit with verdict and reason, then the count. Ends with a line break. */
export function closingTable(view: BenchView, theme: Theme): string {
  const tagWidth = Math.max(4, ...view.units.map((unit) => unit.tag.length));
  const rows = view.units.map((unit) => {
    const word = unit.verdict ? VERDICT_WORDS[unit.verdict] : 'NOT RUN';
    return `${unit.tag.padEnd(tagWidth)}  ${word.padEnd(11)}  ${unit.sentence}`.trimEnd();
  });
  const told = (verdict: UnitView['verdict']): number =>
    view.units.filter((unit) => unit.verdict === verdict).length;
  const notRun = told(undefined);
  const count = `${told('pass')} pass, ${told('fail')} fail, ${told('cannot-tell')} cannot tell${notRun > 0 ? `, ${notRun} not run` : ''}`;
  return `${[`${'unit'.padEnd(tagWidth)}  verdict      reason`, ...rows, count].map((row) => printable(theme, row)).join('\n')}\n`;
}
