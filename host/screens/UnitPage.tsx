// One unit's verdict, findings and all its checks, in full sentences.

import { Box } from 'ink';
import { chance, lowered, VERDICT_WORDS } from '../tell/index.js';
import { CheckLine, worstFirst } from './Details.js';
import { Line } from './Line.js';
import type { BenchScreenProps } from './screen-props.js';
import { VERDICT_TONES } from './theme.js';

export function UnitPage({ state, theme, columns, rows }: BenchScreenProps) {
  const unit = state.bench.units[state.selected];
  if (unit === undefined) return <Line theme={theme}>No unit.</Line>;
  const { verdict } = unit;
  const checks = worstFirst(unit.checks);
  // Each keeps its rows: where all is longer than the page, ink would else lay lines over one another.
  const above = [
    <Box key="sentence" flexShrink={0}>
      <Line theme={theme} bold wrapAt={columns} tone={verdict ? VERDICT_TONES[verdict] : 'plain'}>
        {`${verdict ? VERDICT_WORDS[verdict] : 'NOT RUN'}: ${unit.sentence || 'the tray ended before this unit'}`}
      </Line>
    </Box>,
    ...unit.findings.map((finding) => (
      <Box key={finding.id} flexShrink={0}>
        <Line theme={theme} wrapAt={columns}>
          {`${chance(finding)}  ${[finding.sentence, `Next probe: ${finding.nextProbe}`, ...(finding.proof ?? []).map((reading) => `Shown by ${lowered(reading)}`)].join(' ')}`}
        </Line>
      </Box>
    )),
  ];
  // What is read goes up and makes room, so that in a small window too every check comes to be seen.
  const from = Math.max(0, state.scroll - above.length);
  return (
    <Box flexDirection="column" width={columns} height={rows} flexShrink={0} overflow="hidden">
      <Box flexShrink={0} height={1}>
        <Line theme={theme} bold>
          {`${unit.tag}  ${unit.profileTitle}`}
        </Line>
      </Box>
      <Box flexShrink={0} height={1}>
        <Line theme={theme} tone="quiet">
          {`${unit.circuitTitle}${unit.runId === undefined ? ' · not recorded' : ` · record ${unit.runId}`}`}
        </Line>
      </Box>
      {above.slice(state.scroll)}
      <Box flexShrink={0} height={1}>
        <Line theme={theme} tone="quiet">
          {`${checks.length} checks${from > 0 ? `, from ${from + 1}` : ''}`}
        </Line>
      </Box>
      {checks.slice(from).map((check) => (
        <CheckLine key={check.id} check={check} theme={theme} columns={columns} />
      ))}
    </Box>
  );
}
