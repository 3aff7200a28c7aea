// What the bench asks while outputs are off: a line of text, or one of a list. Below it the verdict that stood last.

import { Box, Text } from 'ink';
import { DISPOSITION_WORDS, VERDICT_WORDS } from '../tell/index.js';
import { Line } from './Line.js';
import type { ChoiceQuestion, TextQuestion } from './question.js';
import type { BenchScreenProps } from './screen-props.js';
import { windowStart } from './TrayList.js';
import { printable, type Theme, VERDICT_TONES } from './theme.js';

/** Rows of a list beside title, lines and footer. */
const ROWS_AROUND_LIST = 7;

export function QuestionPage({ state, theme, columns, rows }: BenchScreenProps) {
  const { question, bench } = state;
  const last = bench.units[bench.current];
  if (question === undefined) return null;
  return (
    <Box flexDirection="column" width={columns} height={rows} flexShrink={0} overflow="hidden">
      <Box height={1} flexShrink={0} />
      <Line theme={theme} bold>
        {question.title}
      </Line>
      {question.kind === 'text' ? (
        <TextField question={question} theme={theme} />
      ) : (
        <Choices question={question} theme={theme} rows={rows - ROWS_AROUND_LIST - question.lines.length} />
      )}
      {question.trouble !== undefined && (
        <Line theme={theme} tone="bad" bold wrapAt={columns}>
          {question.trouble}
        </Line>
      )}
      {question.lines.map((line) => (
        <Box key={line} flexShrink={0}>
          <Line theme={theme} wrapAt={columns}>
            {line}
          </Line>
        </Box>
      ))}
      {last?.verdict !== undefined && (
        <Box flexDirection="column" flexShrink={0} marginTop={1}>
          <Line theme={theme} tone={VERDICT_TONES[last.verdict]} wrapAt={columns}>
            {`${last.tag} ${VERDICT_WORDS[last.verdict]}${last.disposition ? `, ${DISPOSITION_WORDS[last.disposition]}` : ''}: ${last.sentence}`}
          </Line>
        </Box>
      )}
    </Box>
  );
}

function TextField({ question, theme }: { question: TextQuestion; theme: Theme }) {
  const { label, typed, proposal } = question;
  const shown = typed === '' && proposal !== undefined ? `  (Enter takes ${proposal})` : '';
  return (
    <Box flexShrink={0} marginTop={1} marginBottom={1}>
      <Text bold wrap="truncate-end">
        {printable(theme, `${label}: ${typed}_${shown}`)}
      </Text>
    </Box>
  );
}

function Choices({ question, theme, rows }: { question: ChoiceQuestion; theme: Theme; rows: number }) {
  const { options, chosen } = question;
  const start = windowStart(chosen, options.length, rows);
  return (
    <Box flexDirection="column" flexShrink={0} marginTop={1} marginBottom={1}>
      {options.slice(start, start + Math.max(1, rows)).map((option, i) => (
        <Text key={option} inverse={start + i === chosen} wrap="truncate-end">
          {printable(theme, `${start + i === chosen ? '>' : ' '} ${option}`)}
        </Text>
      ))}
    </Box>
  );
}
