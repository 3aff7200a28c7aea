// A room beside the bench: a list with its search, or a page.

import { Box, Text } from 'ink';
import { Line } from './Line.js';
import { foundRows, pageLines, type RoomView } from './room.js';
import type { BenchScreenProps } from './screen-props.js';
import { windowStart } from './TrayList.js';
import { printable } from './theme.js';

const HEAD_ROWS = 1;
const SEARCH_ROWS = 1;

export function RoomPage({ state, theme, columns, rows }: BenchScreenProps) {
  const room = state.rooms?.at(-1);
  if (room === undefined) return null;
  const path = (state.rooms ?? []).map(({ content }) => content.title).join(theme.unicode ? ' › ' : ' > ');
  return (
    <Box flexDirection="column" width={columns} height={rows} flexShrink={0} overflow="hidden">
      <Box height={HEAD_ROWS} flexShrink={0}>
        <Line theme={theme} bold>
          {room.isBusy ? `${path}: one moment` : path}
        </Line>
      </Box>
      {'rows' in room.content ? (
        <List {...{ room, theme, columns }} rows={rows - HEAD_ROWS - SEARCH_ROWS} />
      ) : (
        seenLines(room, columns, rows - HEAD_ROWS).map((line, i) => (
          // biome-ignore lint/suspicious/noArrayIndexKey: lines of a page have no other name
          <Box key={i} height={1} flexShrink={0}>
            <Text wrap="truncate-end">{printable(theme, line)}</Text>
          </Box>
        ))
      )}
    </Box>
  );
}

/** Of a page from its first line on; of a talk the last ones, the answer that is typed behind its question. */
function seenLines({ content, talk, typed, scroll }: RoomView, columns: number, rows: number): string[] {
  if ('lines' in content) return pageLines(content.lines, columns).slice(scroll, scroll + rows);
  if (talk === undefined) return [];
  const answer = talk.isOver || talk.isLive ? talk.asked : `${talk.asked}${typed}_`;
  const lines = pageLines([...talk.lines, answer], columns);
  const end = Math.max(Math.min(rows, lines.length), lines.length - scroll);
  return lines.slice(Math.max(0, end - rows), end);
}

type ListProps = Pick<BenchScreenProps, 'theme' | 'columns' | 'rows'> & { room: RoomView };

function List({ room, theme, rows }: ListProps) {
  const found = foundRows(room);
  const start = windowStart(room.chosen, found.length, rows);
  const count = 'rows' in room.content ? room.content.rows.length : 0;
  return (
    <>
      <Box height={SEARCH_ROWS} flexShrink={0}>
        <Line theme={theme}>
          {found.length === 0
            ? `Search: ${room.typed}_  ${count === 0 ? 'nothing here yet' : 'nothing has all these words'}`
            : `Search: ${room.typed}_  ${room.chosen + 1} of ${found.length}`}
        </Line>
      </Box>
      {found.slice(start, start + rows).map(({ text }, i) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: two rows may say the same
        <Box key={start + i} height={1} flexShrink={0}>
          <Text inverse={start + i === room.chosen} wrap="truncate-end">
            {printable(theme, `${start + i === room.chosen ? '>' : ' '} ${text}`)}
          </Text>
        </Box>
      ))}
    </>
  );
}
