// What stands under the traces: the likely cause and the next probe first, then the checks, the worst first.

import { Box } from 'ink';
import type { Check, Outcome } from '../judge/index.js';
import { topFinding, type UnitView } from './bench-view-model.js';
import { percent } from './format.js';
import { Line } from './Line.js';
import { OUTCOME_TONES, OUTCOME_WORDS, outcomeSymbol, type Theme } from './theme.js';

const LABEL_COLUMNS = 15;
const OUTCOME_COLUMNS = 22;

const WORST_FIRST: Outcome[] = ['fail', 'conditional-fail', 'not-tested', 'conditional-pass', 'pass'];

export const worstFirst = (checks: readonly Check[]): Check[] =>
  [...checks].sort((a, b) => WORST_FIRST.indexOf(a.outcome) - WORST_FIRST.indexOf(b.outcome));

export interface DetailsProps {
  unit: UnitView | undefined;
  theme: Theme;
  columns: number;
  rows: number;
}

export function Details({ unit, theme, columns, rows }: DetailsProps) {
  const finding = unit && topFinding(unit);
  return (
    <Box flexDirection="column" width={columns} height={rows} flexShrink={0} overflow="hidden">
      {finding && (
        <>
          <Labelled
            theme={theme}
            columns={columns}
            label={`Likely, ${percent(finding.likelihood)}:`}
            text={finding.sentence}
          />
          <Labelled theme={theme} columns={columns} label="Next probe:" text={finding.nextProbe} />
        </>
      )}
      {unit?.advice && <Labelled theme={theme} columns={columns} label="What to do:" text={unit.advice} />}
      {unit &&
        worstFirst(unit.checks).map((check) => <CheckLine key={check.id} check={check} theme={theme} />)}
      {unit && unit.state === 'on-bench' && unit.checks.length === 0 && (
        <Line theme={theme} tone="quiet">
          Shaded: what this circuit should do. Checks follow when the plan has run.
        </Line>
      )}
    </Box>
  );
}

interface LabelledProps {
  theme: Theme;
  columns: number;
  label: string;
  text: string;
}

function Labelled({ theme, columns, label, text }: LabelledProps) {
  return (
    <Box flexShrink={0}>
      <Box flexShrink={0} width={LABEL_COLUMNS}>
        <Line theme={theme} bold>
          {label}
        </Line>
      </Box>
      <Line theme={theme} wrapAt={columns - LABEL_COLUMNS}>
        {text}
      </Line>
    </Box>
  );
}

export interface CheckLineProps {
  check: Check;
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
