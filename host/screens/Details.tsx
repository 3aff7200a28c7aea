// What stands under the traces: the likely cause and the next probe first, then the checks, the worst first.

import { Box, Text } from 'ink';
import type { ToldCheck } from '../bench/index.js';
import type { Outcome } from '../judge/index.js';
import { chance, GRADE_WORDS, GRADED_WORDS, OUTCOME_WORDS } from '../tell/index.js';
import { topFinding, type UnitView } from './bench-view-model.js';
import { wrapWords } from './format.js';
import { Line } from './Line.js';
import { OUTCOME_TONES, outcomeSymbol, printable, type Theme } from './theme.js';

const LABEL_COLUMNS = 15;
const OUTCOME_COLUMNS = 22;
const MOST_GRADE_ROWS = 2;

const WORST_FIRST: Outcome[] = ['fail', 'conditional-fail', 'not-tested', 'conditional-pass', 'pass'];

export const worstFirst = (checks: readonly ToldCheck[]): ToldCheck[] =>
  [...checks].sort((a, b) => WORST_FIRST.indexOf(a.outcome) - WORST_FIRST.indexOf(b.outcome));

export interface DetailsProps {
  unit: UnitView | undefined;
  theme: Theme;
  columns: number;
  rows: number;
}

export function Details({ unit, theme, columns, rows }: DetailsProps) {
  return (
    <Box flexDirection="column" width={columns} height={rows} flexShrink={0} overflow="hidden">
      {unit &&
        labelledLines(unit, theme, columns, rows).map((item) => (
          <Labelled key={item.label} {...item} theme={theme} />
        ))}
      {unit &&
        worstFirst(unit.checks).map((check) => <CheckLine key={check.id} check={check} theme={theme} />)}
      {unit && unit.state === 'on-bench' && unit.checks.length === 0 && (
        <Line theme={theme} tone="quiet">
          {`${unit.isByHand ? '' : 'Shaded: what this circuit should do. '}Checks follow when the plan has run.`}
        </Line>
      )}
    </Box>
  );
}

/** Cause, next probe and advice in at most `rows` lines: where they are short, the probe keeps half of them. */
export function labelledLines(unit: UnitView, theme: Theme, columns: number, rows: number): LabelledText[] {
  const wrap = (text: string): string[] => wrapWords(printable(theme, text), columns - LABEL_COLUMNS);
  const finding = topFinding(unit);
  const out: LabelledText[] = [];
  if (finding) {
    const probe = clipped(wrap(finding.nextProbe), Math.max(1, Math.floor(rows / 2)));
    const cause = clipped(wrap(finding.sentence), Math.max(1, rows - probe.length));
    out.push({ label: `Likely, ${chance(finding)}:`, lines: cause }, { label: 'Next probe:', lines: probe });
    const [proof] = finding.proof ?? [];
    if (proof !== undefined && cause.length + probe.length < rows)
      out.push({ label: 'Shown by:', lines: clipped(wrap(proof), rows - cause.length - probe.length) });
  }
  // What fails stands among the checks.
  for (const { about, grade, sentence } of unit.grade?.reasons ?? [])
    if (about !== 'fault')
      out.push({
        label: `${GRADED_WORDS[about]}:`,
        lines: clipped(wrap(`${GRADE_WORDS[grade]}. ${sentence}`), MOST_GRADE_ROWS),
      });
  if (unit.advice !== undefined) out.push({ label: 'What to do:', lines: clipped(wrap(unit.advice), rows) });
  return out;
}

function clipped(lines: string[], rows: number): string[] {
  if (lines.length <= rows) return lines;
  const kept = lines.slice(0, rows);
  const last = kept.pop() ?? '';
  return [...kept, `${last.replace(/[\s.,;:]+$/, '').slice(0, -1)}…`];
}

interface LabelledText {
  label: string;
  lines: string[];
}

function Labelled({ theme, label, lines }: LabelledText & { theme: Theme }) {
  return (
    <Box flexShrink={0}>
      <Box flexShrink={0} width={LABEL_COLUMNS}>
        <Line theme={theme} bold>
          {label}
        </Line>
      </Box>
      {/* Wrapped already, so that the rows could be counted. */}
      <Text wrap="truncate-end">{lines.join('\n')}</Text>
    </Box>
  );
}

export interface CheckLineProps {
  check: ToldCheck;
  theme: Theme;
  /** Width of the page, for a sentence in full; cut off at the edge without it. */
  columns?: number;
}

export function CheckLine({ check, theme, columns }: CheckLineProps) {
  const { outcome } = check;
  return (
    <Box flexShrink={0}>
      <Box flexShrink={0} width={OUTCOME_COLUMNS}>
        <Line theme={theme} tone={OUTCOME_TONES[outcome]} bold={outcome === 'fail'}>
          {`${outcomeSymbol(theme, outcome)} ${OUTCOME_WORDS[outcome]}`}
        </Line>
      </Box>
      <Line theme={theme} {...(columns === undefined ? {} : { wrapAt: columns - OUTCOME_COLUMNS })}>
        {check.sentence}
      </Line>
    </Box>
  );
}
