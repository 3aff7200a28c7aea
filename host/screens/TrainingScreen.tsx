// The training screen: title, panes, and the keys on the last row. A function of the controller's state.

import { Box } from 'ink';
import type { Nameable, ReadingsRow } from '../bench/training/index.js';
import { wrapWords } from './format.js';
import { Line } from './Line.js';
import { Traces } from './Traces.js';
import { windowStart } from './TrayList.js';
import type { Theme } from './theme.js';
import type { TraceStore } from './trace-store.js';
import { PANES, type TrainingState } from './training-controller.js';
import { askedLines, readingsLines, revealLines, TRAINING_NOTICE } from './training-format.js';

export interface TrainingScreenProps {
  state: TrainingState;
  traces: TraceStore;
  readings: readonly ReadingsRow[] | undefined;
  /** What fits the search of the open pane. */
  list: readonly Nameable[];
  asked: number;
  theme: Theme;
  /** Of the picture; the terminal's last row and column stay empty. */
  columns: number;
  rows: number;
}

const HEAD_ROWS = 3;
const FOOT_ROWS = 1;
const PANE_WORDS = { readings: 'Readings', measure: 'Measure', name: 'Name the fault' } as const;

export function TrainingScreen(props: TrainingScreenProps) {
  const { state, theme, columns, rows, asked } = props;
  const unit = state.bench.units[0];
  return (
    <Box flexDirection="column" width={columns} height={rows} flexShrink={0} overflow="hidden">
      <Row>
        <Line theme={theme} tone="doubt" bold>
          {TRAINING_NOTICE}
        </Line>
      </Row>
      <Row>
        <Line theme={theme}>{unit ? `${unit.profileTitle}; ${unit.circuitTitle}` : ' '}</Line>
      </Row>
      <Row>
        {state.phase === 'asking' ? (
          <>
            {PANES.map((pane) => (
              <Line
                key={pane}
                theme={theme}
                bold={pane === state.pane}
                tone={pane === state.pane ? 'trace' : 'quiet'}
              >
                {pane === state.pane ? `[${PANE_WORDS[pane]}]  ` : ` ${PANE_WORDS[pane]}   `}
              </Line>
            ))}
            <Line theme={theme} tone="quiet">{`   measured: ${asked}`}</Line>
          </>
        ) : (
          <Line theme={theme} bold>
            {phaseWords(state)}
          </Line>
        )}
      </Row>
      <Box flexDirection="column" height={rows - HEAD_ROWS - FOOT_ROWS} flexShrink={0} overflow="hidden">
        <Body {...props} />
      </Box>
      <Row>
        <Line theme={theme} tone="quiet">
          {keysOf(state)}
        </Line>
      </Row>
    </Box>
  );
}

const Row = ({ children }: { children: React.ReactNode }) => (
  <Box height={1} flexShrink={0} overflow="hidden">
    {children}
  </Box>
);

function Body(props: TrainingScreenProps) {
  const { state, traces, theme, columns, rows, readings, list } = props;
  const room = rows - HEAD_ROWS - FOOT_ROWS;
  if (state.phase === 'told' && state.reveal) {
    const { right, named } = state.reveal;
    const [head = '', ...lines] = revealLines(state.reveal);
    return (
      <Box flexDirection="column" flexShrink={0}>
        <Line
          theme={theme}
          bold
          wrapAt={columns}
          tone={named === undefined ? 'doubt' : right ? 'good' : 'bad'}
        >
          {head}
        </Line>
        <Lines theme={theme} lines={['', ...lines.flatMap((line) => hanging(line, columns))]} />
      </Box>
    );
  }
  if (state.phase === 'broken') {
    const told = state.bench.units[0]?.sentence;
    return (
      <Line theme={theme} wrapAt={columns}>
        {`The run was broken off; there is nothing to name. ${told ?? ''}`}
      </Line>
    );
  }
  if (state.phase === 'running' || state.pane === 'readings' || state.phase === 'telling') {
    const table = readings ? readingsLines(readings) : [];
    const plotRows = Math.max(4, Math.min(22, room - table.length - 1));
    return (
      <Box flexDirection="column" flexShrink={0}>
        <Traces view={state.bench} traces={traces} theme={theme} columns={columns} rows={plotRows} />
        {plotRows + table.length < room && <Line theme={theme}> </Line>}
        <Lines theme={theme} lines={table} />
      </Box>
    );
  }
  const answer = state.pane === 'measure' && state.answer ? askedLines(state.answer) : [];
  const listRows = Math.max(3, room - 2 - (answer.length > 0 ? answer.length + 1 : 0));
  const start = windowStart(state.chosen, list.length, listRows);
  return (
    <Box flexDirection="column" flexShrink={0}>
      <Line theme={theme}>{`Search: ${state.typed[state.pane]}_`}</Line>
      <Line theme={theme} tone="quiet">
        {list.length === 0 ? 'nothing has all these words' : `${state.chosen + 1} of ${list.length}`}
      </Line>
      {list.slice(start, start + listRows).map(({ id, sentence }, i) => (
        <Line
          key={id}
          theme={theme}
          bold={start + i === state.chosen}
          {...(start + i === state.chosen ? { wrapAt: columns } : {})}
        >
          {`${start + i === state.chosen ? '> ' : '  '}${sentence}`}
        </Line>
      ))}
      {answer.length > 0 && <Line theme={theme}> </Line>}
      <Lines theme={theme} lines={answer} />
    </Box>
  );
}

function Lines({ theme, lines }: { theme: Theme; lines: readonly string[] }) {
  return (
    <Box flexDirection="column" flexShrink={0}>
      {lines.map((line, i) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: lines of a text have no other name
        <Line key={i} theme={theme}>
          {line === '' ? ' ' : line}
        </Line>
      ))}
    </Box>
  );
}

/** Wrapped, with its own indent kept. */
function hanging(line: string, columns: number): string[] {
  const indent = line.slice(0, line.length - line.trimStart().length);
  return wrapWords(line.trim(), columns - indent.length - 1).map((part) => `${indent}${part}`);
}

function phaseWords({ phase, isStopping }: TrainingState): string {
  if (phase === 'running') return isStopping ? 'Outputs off was sent' : 'The unit is being thrown';
  if (phase === 'telling') return 'Looking for the readings that prove it';
  return phase === 'told' ? 'What it was' : 'Broken off';
}

function keysOf({ phase, pane }: TrainingState): string {
  if (phase === 'running') return 'Space or Esc: outputs off   Ctrl-C: leave';
  if (phase !== 'asking') return phase === 'telling' ? ' ' : 'Enter or q: leave';
  if (pane === 'readings') return 'Tab: measure, name   Ctrl-C: leave';
  return `type to search   arrows, Enter: ${pane === 'name' ? 'name it' : 'measure'}   Tab: next   Ctrl-C: leave`;
}
