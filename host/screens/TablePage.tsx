// The tray when it has run: every unit with verdict and reason, what did not pass with its cause and next probe, and the
// chosen one's readings below.

import { Box, Text } from 'ink';
import { countWords, topFinding, type UnitView } from './bench-view-model.js';
import { Details } from './Details.js';
import { wrapWords } from './format.js';
import { Line } from './Line.js';
import type { BenchScreenProps } from './screen-props.js';
import { unitSign } from './TrayList.js';
import { rowsAround } from './table-window.js';
import { colourOf, printable, type Theme } from './theme.js';
import { clipped } from './told-lines.js';

const DETAIL_ROWS = 6;
const TAG_COLUMNS = 12;
const WORD_COLUMNS = 15;
const REASON_AT = TAG_COLUMNS + WORD_COLUMNS + 2;
/** What is said of a unit that did not pass, its next probe apart: more of it stands on its own page. */
const MOST_REASON_ROWS = 2;
/** The longest probe there is, at 80 columns. */
const MOST_PROBE_ROWS = 4;

export function TablePage({ state, theme, columns, rows }: BenchScreenProps) {
  const { units, finished } = state.bench;
  const room = Math.max(1, rows - DETAIL_ROWS - 3);
  const told = units.map((unit) => reasonLines(unit, theme, columns - REASON_AT));
  const heights = told.map((lines) => lines.length);
  const { from, to } = rowsAround(heights, state.selected, room);
  const title = finished ? `Tray: ${countWords(finished)}` : 'Tray, not finished';
  return (
    <Box flexDirection="column" width={columns} height={rows} flexShrink={0} overflow="hidden">
      <Line theme={theme} bold>
        {state.stop === 'no' ? title : `${title} (stopped by the operator)`}
      </Line>
      <Line theme={theme} tone="quiet">
        {to - from < units.length ? `Units ${from + 1} to ${to} of ${units.length}` : ''}
      </Line>
      <Box flexDirection="column" height={room} flexShrink={0} overflow="hidden">
        {units.slice(from, to).map((unit, i) => {
          const place = from + i;
          const isChosen = place === state.selected;
          const { sign, word, tone } = unitSign(unit, theme);
          return (
            <Box key={place} flexShrink={0} height={heights[place] ?? 1}>
              <Box flexShrink={0} width={REASON_AT}>
                <Text inverse={isChosen} wrap="truncate-end">
                  {printable(theme, `${isChosen ? '>' : ' '} ${unit.tag}`).padEnd(TAG_COLUMNS)}{' '}
                  <Text {...colourOf(theme, tone)}>
                    {`${sign} ${unit.state === 'waiting' ? 'not run' : word}`.padEnd(WORD_COLUMNS)}
                  </Text>{' '}
                </Text>
              </Box>
              {/* Wrapped already, so that the rows could be counted. */}
              <Text wrap="truncate-end">{(told[place] ?? []).join('\n')}</Text>
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

/** At least one line. What passed needs no more. */
function reasonLines(unit: UnitView, theme: Theme, columns: number): string[] {
  const wrap = (text: string): string[] => wrapWords(printable(theme, text), Math.max(1, columns));
  if (unit.verdict === undefined || unit.verdict === 'pass') return clipped(wrap(unit.sentence), 1);
  const finding = topFinding(unit);
  if (finding === undefined) return clipped(wrap(unit.sentence), MOST_REASON_ROWS + 1);
  return [
    ...clipped(wrap(finding.sentence), MOST_REASON_ROWS),
    ...clipped(wrap(`Next: ${finding.nextProbe}`), MOST_PROBE_ROWS),
  ];
}
