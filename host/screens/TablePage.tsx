// The tray when it has run: every unit with verdict and reason, and the chosen one's cause and next probe below.

import { Box, Text } from 'ink';
import { countWords } from './bench-view-model.js';
import { Details } from './Details.js';
import { Line } from './Line.js';
import type { BenchScreenProps } from './screen-props.js';
import { unitSign, windowOf, windowStart } from './TrayList.js';
import { colourOf, printable } from './theme.js';

const DETAIL_ROWS = 6;
const TAG_COLUMNS = 12;
const WORD_COLUMNS = 15;

export function TablePage({ state, theme, columns, rows }: BenchScreenProps) {
  const { units, finished } = state.bench;
  const room = Math.max(1, rows - DETAIL_ROWS - 3);
  const start = windowStart(state.selected, units.length, room);
  const hidden = units.length - Math.min(units.length, room);
  const title = finished ? `Tray: ${countWords(finished)}` : 'Tray, not finished';
  return (
    <Box flexDirection="column" width={columns} height={rows} flexShrink={0} overflow="hidden">
      <Line theme={theme} bold>
        {state.stop === 'no' ? title : `${title} (stopped by the operator)`}
      </Line>
      <Line theme={theme} tone="quiet">
        {hidden > 0 ? `Units ${start + 1} to ${Math.min(units.length, start + room)} of ${units.length}` : ''}
      </Line>
      <Box flexDirection="column" height={room} flexShrink={0} overflow="hidden">
        {windowOf(state.bench, start, room).map(({ unit, place }) => {
          const isChosen = place === state.selected;
          const { sign, word, tone } = unitSign(unit, theme);
          return (
            <Box key={place} flexShrink={0} height={1}>
              <Text inverse={isChosen} wrap="truncate-end">
                {printable(theme, `${isChosen ? '>' : ' '} ${unit.tag}`).padEnd(TAG_COLUMNS)}{' '}
                <Text {...colourOf(theme, tone)}>
                  {`${sign} ${unit.state === 'waiting' ? 'not run' : word}`.padEnd(WORD_COLUMNS)}
                </Text>{' '}
                {printable(theme, unit.sentence)}
              </Text>
            </Box>
          );
        })}
      </Box>
      <Line theme={theme} tone="quiet">
        {(theme.unicode ? '─' : '-').repeat(columns)}
      </Line>
      <Details unit={units[state.selected]} theme={theme} columns={columns} rows={DETAIL_ROWS} />
    </Box>
  );
}
