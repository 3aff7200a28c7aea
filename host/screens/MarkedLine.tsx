// One of several lines with its mark or number in a column of its own; what does not fit goes on under its own beginning.

import { Box } from 'ink';
import { Line } from './Line.js';
import type { Theme, Tone } from './theme.js';

const MARK_COLUMNS = 3;

export interface MarkedLineProps {
  theme: Theme;
  columns: number;
  mark: string;
  tone?: Tone;
  children: string;
}

export function MarkedLine({ theme, columns, mark, tone = 'plain', children }: MarkedLineProps) {
  return (
    <Box flexShrink={0}>
      <Box width={MARK_COLUMNS} flexShrink={0}>
        <Line theme={theme} tone={tone}>
          {mark}
        </Line>
      </Box>
      <Line theme={theme} wrapAt={columns - MARK_COLUMNS}>
        {children}
      </Line>
    </Box>
  );
}
