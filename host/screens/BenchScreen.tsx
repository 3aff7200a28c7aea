// The bench screen: a function of the screen's state, the traces and the window's size. Never higher than its rows.

import { Box, Text } from 'ink';
import { DISPOSITION_WORDS, FEED_WORDS } from '../tell/index.js';
import type { UnitView } from './bench-view-model.js';
import { CautionPage } from './CautionPage.js';
import { Details } from './Details.js';
import { footerWords } from './footer.js';
import { Headline, headlineRows, headlineWord } from './Headline.js';
import { HookUpPage } from './HookUpPage.js';
import { Line } from './Line.js';
import { QuestionPage } from './QuestionPage.js';
import type { Question } from './question.js';
import { RoomPage } from './RoomPage.js';
import type { BenchScreenProps } from './screen-props.js';
import type { ScreenState } from './screen-state.js';
import { TablePage } from './TablePage.js';
import { TracePage } from './TracePage.js';
import { Traces } from './Traces.js';
import { TrayLine, TrayList } from './TrayList.js';
import { printable } from './theme.js';
import { UnitPage } from './UnitPage.js';

export const MIN_COLUMNS = 80;
export const MIN_ROWS = 24;
/** Whether a window shows a page whole. */
export const isLargeEnough = ({ columns, rows }: { columns: number; rows: number }): boolean =>
  columns >= MIN_COLUMNS && rows >= MIN_ROWS;
/** From here on the tray has a column of its own. */
const WIDE_COLUMNS = 110;
const TRAY_COLUMNS = 32;
const BAR_ROWS = 1;
const HEADER_ROWS = 2;
const FOOTER_ROWS = 2;
/** From here on a told unit has room for its traces beside the words. */
const ROWS_FOR_BOTH = 32;
/** What the shading means, under the traces of a run. */
const LEGEND_ROWS = 1;

export function BenchScreen(props: BenchScreenProps) {
  const { state, theme } = props;
  const columns = props.columns - 1;
  const rows = props.rows - 1;
  if (!isLargeEnough(props)) {
    return <TooSmall {...props} />;
  }
  const body = { ...props, columns, rows: rows - BAR_ROWS - FOOTER_ROWS };
  return (
    <Box flexDirection="column" width={columns} height={rows} overflow="hidden">
      <Bar state={state} theme={theme} columns={columns} />
      <Page {...body} />
      <Footer state={state} theme={theme} columns={columns} />
    </Box>
  );
}

function Page(body: BenchScreenProps) {
  const { page, gate, question, bench } = body.state;
  if (body.state.rooms) return <RoomPage {...body} />;
  if (question) return <QuestionPage {...body} />;
  if (page === 'table') return <TablePage {...body} />;
  if (page === 'unit') return <UnitPage {...body} />;
  if (page === 'traces') return <TracePage {...body} />;
  if (gate?.kind === 'cautions' || gate?.kind === 'held-rotor') return <CautionPage {...body} />;
  // How it is clipped on stands there until it is thrown, the first time and each time again.
  if (gate?.kind === 'clip-on' && bench.hookUp !== undefined) return <HookUpPage {...body} />;
  return <BenchPage {...body} />;
}

function BenchPage({ state, traces, theme, columns, rows }: BenchScreenProps) {
  const { bench } = state;
  // A single unit is no tray.
  const isWide = columns + 1 >= WIDE_COLUMNS && bench.units.length > 1;
  const mainColumns = isWide ? columns - TRAY_COLUMNS : columns;
  const unit = bench.units[bench.current];
  const isTold = unit?.verdict !== undefined;
  // Once it is told, a small window is for the words.
  if (isTold && rows < ROWS_FOR_BOTH) {
    const detailRows = rows - HEADER_ROWS - headlineRows(state, theme, columns);
    return (
      <>
        <Header state={state} theme={theme} columns={columns} isWide={isWide} />
        <Headline state={state} traces={traces} theme={theme} columns={columns} />
        <Details {...{ unit, theme, columns }} rows={detailRows} />
      </>
    );
  }
  const free = rows - HEADER_ROWS - headlineRows(state, theme, mainColumns) - 1;
  // Nothing is told while it runs: the traces take what there is. Of a told unit they leave half to the words.
  const traceRows = isTold ? Math.floor(free / 2) : free + 1 - LEGEND_ROWS;
  const detailRows = free + 1 - traceRows;
  const drawn = <Traces view={bench} traces={traces} theme={theme} columns={mainColumns} rows={traceRows} />;
  return (
    <>
      <Header state={state} theme={theme} columns={columns} isWide={isWide} />
      <Box height={rows - HEADER_ROWS} width={columns} flexShrink={0}>
        <Box flexDirection="column" width={mainColumns} flexShrink={0}>
          <Headline state={state} traces={traces} theme={theme} columns={mainColumns} />
          {!isTold && drawn}
          <Details unit={unit} theme={theme} columns={mainColumns} rows={detailRows} />
          {isTold && drawn}
        </Box>
        {isWide && <TrayList view={bench} theme={theme} columns={TRAY_COLUMNS} rows={rows - HEADER_ROWS} />}
      </Box>
    </>
  );
}

type BarProps = Pick<BenchScreenProps, 'state' | 'theme' | 'columns'>;

/** `OUTPUTS OFF`, or what is thrown on which feed; in a talk that anything may be on. */
function outputsWord({ bench: { position, feed, stepIndex, prompt }, rooms }: ScreenState): string {
  if (rooms?.at(-1)?.talk?.isLive) return 'LOAD ON';
  if (stepIndex < 0 || feed === 'off') return 'OUTPUTS OFF';
  return `${prompt ? 'BY HAND' : position.toUpperCase()}, ${FEED_WORDS[feed].toUpperCase()}`;
}

/** On every page: which rig this is, and whether outputs are off. */
function Bar({ state, theme, columns }: BarProps) {
  const { rig } = state.bench;
  const isWide = columns + 1 >= WIDE_COLUMNS;
  const outputs = outputsWord(state);
  return (
    <Box width={columns} height={BAR_ROWS} flexShrink={0} overflow="hidden" justifyContent="space-between">
      <Line theme={theme}>
        {rig
          ? `Throwbench · rig ${rig.rigId}${isWide ? `, ${rig.model}` : ''}, firmware ${rig.firmwareVersion}, on ${rig.port}`
          : `Throwbench · ${state.where ?? 'no rig connected yet'}`}
      </Line>
      <Box flexShrink={0} marginLeft={1}>
        <Line theme={theme} bold tone={outputs === 'OUTPUTS OFF' ? 'plain' : 'doubt'}>
          {outputs}
        </Line>
      </Box>
    </Box>
  );
}

function Header({ state, theme, columns, isWide }: BarProps & { isWide: boolean }) {
  const { units, current } = state.bench;
  const unit = units[current];
  return (
    <Box flexDirection="column" height={HEADER_ROWS} width={columns} flexShrink={0} overflow="hidden">
      <Box width={columns}>
        <Text bold wrap="truncate-end">
          {printable(theme, unit ? unitTitle(unit) : 'No unit on the bench yet')}
        </Text>
      </Box>
      {isWide || units.length <= 1 ? (
        <Line theme={theme} tone="quiet">
          {unit?.circuitTitle ?? ''}
        </Line>
      ) : (
        <TrayLine view={state.bench} theme={theme} columns={columns} />
      )}
    </Box>
  );
}

const unitTitle = ({ tag, profileTitle, attempt, disposition }: UnitView): string =>
  `${tag}  ${profileTitle}${attempt > 1 ? `, attempt ${attempt}` : ''}${disposition ? `, ${DISPOSITION_WORDS[disposition]}` : ''}`;

function Footer({ state, theme, columns }: BarProps) {
  const { main, others } = footerWords(state);
  return (
    <Box flexDirection="column" width={columns} height={FOOTER_ROWS} flexShrink={0} overflow="hidden">
      <Text inverse wrap="truncate-end">
        {printable(theme, ` ${main} `)}
      </Text>
      <Line theme={theme}>{` ${others}`}</Line>
    </Box>
  );
}

/** What Enter would take, in one line: nobody answers what cannot be seen. */
function answerShown(question: Question): string {
  if (question.kind === 'choice') {
    const { options, chosen } = question;
    return `> ${options[chosen] ?? ''} (${chosen + 1} of ${options.length})`;
  }
  const { label, typed, proposal } = question;
  return `${label}: ${typed}_${typed === '' && proposal !== undefined ? ` (Enter takes ${proposal})` : ''}`;
}

/** What must be seen in any window: what is energised, the verdict, and how to stop. */
function TooSmall({ state, theme, columns, rows }: BenchScreenProps) {
  const unit = state.bench.units[state.bench.current];
  const { gate, question, rooms } = state;
  const { main, others } = footerWords(state);
  const talk = rooms?.at(-1)?.talk;
  const isWaiting = gate !== undefined || question !== undefined || rooms !== undefined;
  const isCaution = gate?.kind === 'cautions' || gate?.kind === 'held-rotor';
  const lines = [
    // At a gate, a question or in a room nothing connects.
    `${outputsWord(state)}${isWaiting && unit?.verdict === undefined ? '' : `  ${headlineWord(state).word}`}`,
    ...(talk ? [talk.asked || (talk.lines.at(-1) ?? '')] : []),
    ...(question && !rooms
      ? [question.title, answerShown(question), ...(question.trouble === undefined ? [] : [question.trouble])]
      : []),
    ...(unit ? [`${unit.tag} ${unit.sentence}`.trim()] : []),
    rooms && !talk?.isLive
      ? 'Rooms do not fit in here: make the window larger. Tab: back'
      : isCaution
        ? 'The cautions do not fit in here: make the window larger, then read them.'
        : main,
    ...(main.includes('Space') || others.includes('Space') ? [] : ['Space or Esc: outputs off']),
    ...(rooms ? [] : [others]),
    `Window ${columns} x ${rows}; all is shown from ${MIN_COLUMNS} x ${MIN_ROWS}.`,
  ];
  return (
    <Box
      flexDirection="column"
      width={Math.max(1, columns - 1)}
      height={Math.max(1, rows - 1)}
      overflow="hidden"
    >
      {lines.map((line) => (
        <Box key={line} flexShrink={0}>
          <Line theme={theme} wrapAt={Math.max(1, columns - 1)}>
            {line}
          </Line>
        </Box>
      ))}
    </Box>
  );
}
