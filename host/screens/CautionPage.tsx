// Cautions, before the first throw of a shift and before a rotor is held.

import { Box } from 'ink';
import { HELD_ROTOR_CAUTIONS } from '../bench/index.js';
import { Line } from './Line.js';
import type { BenchScreenProps } from './screen-props.js';

const MARK_COLUMNS = 3;

export function CautionPage({ state, theme, columns, rows }: BenchScreenProps) {
  const { cautions, units } = state.bench;
  const isHeld = state.gate?.kind === 'held-rotor';
  const first = state.gate?.tag ?? '';
  return (
    <Box flexDirection="column" width={columns} height={rows} flexShrink={0} overflow="hidden">
      <Line theme={theme} bold tone="doubt">
        {isHeld ? `Before the rotor of ${first} is held` : 'Before the first throw'}
      </Line>
      {(isHeld ? HELD_ROTOR_CAUTIONS : cautions).map((line) => (
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
        {units.length <= 1 || isHeld ? `Next: ${first}` : `${units.length} units, ${first} first`}
      </Line>
    </Box>
  );
}
