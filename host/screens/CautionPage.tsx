// Cautions, before the first throw of a shift and before a rotor is held.

import { Box } from 'ink';
import { HELD_ROTOR_CAUTIONS } from '../bench/index.js';
import { Line } from './Line.js';
import { MarkedLine } from './MarkedLine.js';
import type { BenchScreenProps } from './screen-props.js';

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
        <MarkedLine key={line} theme={theme} columns={columns} mark="!" tone="doubt">
          {line}
        </MarkedLine>
      ))}
      <Box height={1} flexShrink={0} />
      <Line theme={theme}>
        {units.length <= 1 || isHeld ? `Next: ${first}` : `${units.length} units, ${first} first`}
      </Line>
    </Box>
  );
}
