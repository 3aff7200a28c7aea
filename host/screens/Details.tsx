// What stands under the traces: the likely cause and the next probe first, then the checks, the worst first.

import { Box, Text } from 'ink';
import type { ToldCheck } from '../bench/index.js';
import type { Outcome } from '../judge/index.js';
import { OUTCOME_WORDS } from '../tell/index.js';
import type { UnitView } from './bench-view-model.js';
import { Line } from './Line.js';
import { OUTCOME_TONES, outcomeSymbol, type Theme } from './theme.js';
import { LABEL_COLUMNS, type LabelledText, toldLines } from './told-lines.js';

const OUTCOME_COLUMNS = 22;

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
        toldLines(unit, theme, columns, rows).map((item) => (
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
