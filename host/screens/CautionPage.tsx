// Cautions, before anything is thrown.

import { Box } from 'ink';
import { Line } from './Line.js';
import type { BenchScreenProps } from './screen-props.js';

const MARK_COLUMNS = 3;

export function CautionPage({ state, theme, columns, rows }: BenchScreenProps) {
  const { cautions, units } = state.bench;
  return (
    <Box flexDirection="column" width={columns} height={rows} flexShrink={0} overflow="hidden">
      <Line theme={theme} bold tone="doubt">
        Before the first throw
      </Line>
      <Box height={1} flexShrink={0} />
      {cautions.map((line) => (
        <Box key={line} flexShrink={0}>
          <Box width={MARK_COLUMNS} flexShrink={0}>
            <Line theme={theme} tone="doubt">
              !
            </Line>
          </Box>
          <Line theme={theme} wrapAt={columns - MARK_COLUMNS}>
            {line}
          </Line>
        </Box>
      ))}
      <Box height={1} flexShrink={0} />
      <Line theme={theme}>
        {units.length === 1 ? `1 unit: ${units[0]?.tag}` : `${units.length} units, ${units[0]?.tag} first`}
      </Line>
    </Box>
  );
}
