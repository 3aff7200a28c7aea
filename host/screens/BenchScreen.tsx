// The bench screen: a function of the screen's state, the traces and the window's size. Never higher than its rows.

import { Box, Text } from 'ink';
import { FEED_WORDS } from '../tell/index.js';
import type { ScreenState } from './bench-controller.js';
import { CautionPage } from './CautionPage.js';
import { Details } from './Details.js';
import { Headline, headlineRows } from './Headline.js';
import { HookUpPage } from './HookUpPage.js';
import { Line } from './Line.js';
import type { BenchScreenProps } from './screen-props.js';
import { TablePage } from './TablePage.js';
import { Traces, tracesRows } from './Traces.js';
import { TrayLine, TrayList } from './TrayList.js';
import { printable } from './theme.js';
import { UnitPage } from './UnitPage.js';

export const MIN_COLUMNS = 80;
export const MIN_ROWS = 24;
/** From here on the tray has a column of its own. */
const WIDE_COLUMNS = 110;
const TRAY_COLUMNS = 32;
const HEADER_ROWS = 3;
const FOOTER_ROWS = 1;
/** From here on a told unit has room for its traces beside the words. */
const ROWS_FOR_BOTH = 32;
/** Least rows for findings and checks. */
const DETAIL_ROWS = 4;

export function BenchScreen(props: BenchScreenProps) {
  const { state, theme } = props;
  const columns = props.columns - 1;
  const rows = props.rows - 1;
  if (props.columns < MIN_COLUMNS || props.rows < MIN_ROWS) {
    return <TooSmall {...props} />;
  }
  const body = { ...props, columns, rows: rows - FOOTER_ROWS };
  return (
    <Box flexDirection="column" width={columns} height={rows} overflow="hidden">
      {state.page === 'table' ? (
        <TablePage {...body} />
      ) : state.page === 'unit' ? (
        <UnitPage {...body} />
      ) : state.gate?.kind === 'cautions' ? (
        <CautionPage {...body} />
      ) : state.gate?.kind === 'clip-on' && state.bench.hookUp?.tag === state.gate.tag ? (
        <HookUpPage {...body} />
      ) : (
        <BenchPage {...body} />
      )}
      <Footer state={state} theme={theme} columns={columns} />
    </Box>
  );
}

function BenchPage({ state, traces, theme, columns, rows }: BenchScreenProps) {
  const { bench } = state;
  const isWide = columns + 1 >= WIDE_COLUMNS;
  const mainColumns = isWide ? columns - TRAY_COLUMNS : columns;
  const free = rows - HEADER_ROWS - headlineRows(theme) - 1;
  const unit = bench.units[bench.current];
  // Once it is told, a small window is for the words.
  if (unit?.verdict !== undefined && rows < ROWS_FOR_BOTH) {
    return (
      <>
        <Header state={state} theme={theme} columns={columns} isWide={isWide} />
        <Headline state={state} traces={traces} theme={theme} columns={columns} />
        <Details {...{ unit, theme, columns }} rows={rows - HEADER_ROWS - headlineRows(theme)} />
      </>
    );
  }
  // Three rows a plot where they fit; of a higher window the traces take somewhat more than half.
  const plotRows = Math.max(2, Math.min(8, Math.floor((free - DETAIL_ROWS) / 3), Math.floor(free / 5) + 1));
  const detailRows = rows - HEADER_ROWS - headlineRows(theme) - tracesRows(plotRows);
  return (
    <>
      <Header state={state} theme={theme} columns={columns} isWide={isWide} />
      <Box height={rows - HEADER_ROWS} width={columns} flexShrink={0}>
        <Box flexDirection="column" width={mainColumns} flexShrink={0}>
          <Headline state={state} traces={traces} theme={theme} columns={mainColumns} />
          <Traces view={bench} traces={traces} theme={theme} columns={mainColumns} plotRows={plotRows} />
          <Details unit={unit} theme={theme} columns={mainColumns} rows={detailRows} />
        </Box>
        {isWide && <TrayList view={bench} theme={theme} columns={TRAY_COLUMNS} rows={rows - HEADER_ROWS} />}
      </Box>
    </>
  );
}

type BarProps = Pick<BenchScreenProps, 'state' | 'theme' | 'columns'>;

function Header({ state, theme, columns, isWide }: BarProps & { isWide: boolean }) {
  const { rig, units, current, position, feed, stepIndex, prompt } = state.bench;
  const unit = units[current];
  const outputs =
    stepIndex < 0 || feed === 'off'
      ? 'OUTPUTS OFF'
      : `${prompt ? 'BY HAND' : position.toUpperCase()}, ${FEED_WORDS[feed].toUpperCase()}`;
  return (
    <Box flexDirection="column" height={HEADER_ROWS} width={columns} flexShrink={0} overflow="hidden">
      <Box width={columns} justifyContent="space-between">
        <Line theme={theme}>
          {rig
            ? `Throwbench · rig ${rig.rigId}${isWide ? `, ${rig.model}` : ''}, firmware ${rig.firmwareVersion}, on ${rig.port}`
            : 'Throwbench · no rig connected yet'}
        </Line>
        <Box flexShrink={0} marginLeft={1}>
          <Line theme={theme} bold tone={outputs === 'OUTPUTS OFF' ? 'plain' : 'doubt'}>
            {outputs}
          </Line>
        </Box>
      </Box>
      <Box width={columns}>
        <Text bold wrap="truncate-end">
          {printable(theme, unit ? `${unit.tag}  ${unit.profileTitle}` : 'No unit on the bench yet')}
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

/** What the keys do now. */
export function footerText(state: ScreenState): string {
  const off = 'Space or Esc: outputs off';
  const { gate, page, stop, ended, bench } = state;
  if (gate) {
    if (gate.kind === 'clip-on') return `Put ${gate.tag} on the bench, then press Enter · ${off}`;
    if (gate.remainingS === undefined) return `Held. Enter starts ${gate.tag} · ${off}`;
    return `${gate.tag} starts in ${Math.ceil(gate.remainingS)} s · Enter: now, any key: hold · ${off}`;
  }
  if (!ended) return stop === 'no' ? `${off} · Ctrl-C: outputs off and leave` : `${off} (sent)`;
  if (page === 'unit') return 'Up, Down: more checks · Enter: back · q: leave';
  if (page === 'table') return 'Up, Down: choose · Enter: checks of the unit · q: leave';
  return bench.units.length > 1 ? 'Enter: table of the tray · q: leave' : 'Enter: all checks · q: leave';
}

function Footer({ state, theme, columns }: BarProps) {
  return (
    <Box width={columns} height={FOOTER_ROWS} flexShrink={0} overflow="hidden">
      <Text inverse wrap="truncate-end">
        {printable(theme, ` ${footerText(state)} `)}
      </Text>
    </Box>
  );
}

function TooSmall({ state, theme, columns, rows }: BenchScreenProps) {
  const lines = [
    `This window has ${columns} columns and ${rows} rows;`,
    `the bench screen needs ${MIN_COLUMNS} and ${MIN_ROWS}. Make it larger.`,
    'Space or Esc: outputs off',
    state.bench.units[state.bench.current]?.tag ?? '',
  ];
  return (
    <Box
      flexDirection="column"
      width={Math.max(1, columns - 1)}
      height={Math.max(1, rows - 1)}
      overflow="hidden"
    >
      {lines.map((line) => (
        <Line key={line} theme={theme}>
          {line}
        </Line>
      ))}
    </Box>
  );
}
