// Motor current and both leads over the band of good units, with a scale, the numbers that matter, the plan's steps under
// them and, where there is room, the first tenth of a second of each throw enlarged.

import { Box, Text } from 'ink';
import { CHANNEL, CHANNELS, type Channel } from '../capture/index.js';
import { amount, capitalised, shortly } from '../tell/index.js';
import type { BenchView } from './bench-view-model.js';
import { stepSpans } from './bench-view-model.js';
import { reading } from './format.js';
import { Line } from './Line.js';
import { colourOf, printable, type Theme } from './theme.js';
import { runEndS } from './trace-look.js';
import { type StepSpan, traceNumbers } from './trace-numbers.js';
import { bandBehind, type Plot, type PlotRequest, tracePlot } from './trace-plot.js';
import type { Series, TraceStore } from './trace-store.js';

export const SHOWN_CHANNELS = CHANNELS.filter((channel) => CHANNEL[channel].isTraced);
const NAME_COLUMNS = 8;
const READ_COLUMNS = 8;
const LABEL_COLUMNS = NAME_COLUMNS + READ_COLUMNS;
const SCALE_COLUMNS = 6;
/** What an expert looks at first. */
export const START_S = 0.1;
/** From here on the starts have a place of their own beside the whole run. */
const ROOM_FOR_STARTS = 64;
const ROWS_FOR_STARTS = 8;
const LEAST_START_COLUMNS = 15;
const START_PART = 0.2;

export interface TracesProps {
  view: BenchView;
  traces: TraceStore;
  theme: Theme;
  columns: number;
  /** Of all three, and the axis under them. */
  rows: number;
  /** What is enlarged; the whole run, and its starts, where nothing is. */
  window?: { fromS: number; toS: number } | undefined;
  cursorS?: number | undefined;
  /** An earlier run under this one. */
  under?: ((channel: Channel) => Series | undefined) | undefined;
}

const AXIS_ROWS = 1;
/** A current's shape tells most; the leads are mostly on or off. */
const LEAD_PART = 0.29;

/** Of one plot. */
function rowsFor(channel: Channel, rows: number): number {
  const all = Math.max(SHOWN_CHANNELS.length, rows - AXIS_ROWS);
  const lead = Math.max(1, Math.floor(all * LEAD_PART));
  return CHANNEL[channel].unit === 'V' ? lead : all - (SHOWN_CHANNELS.length - 1) * lead;
}

interface Panel {
  fromS: number;
  toS: number;
  columns: number;
}

export function Traces(props: TracesProps) {
  const { view, traces, theme, columns, window } = props;
  const spans = stepSpans(view);
  const unit = view.units[view.current];
  // What was not thrown yet has no level; thrown by hand, nobody knows before the end what the readings belong to.
  const isSettled = !unit?.isByHand || unit.state === 'told';
  const thrown = isSettled ? spans.slice(0, view.stepStartsS.length) : [];
  const panels = panelsOf(props, spans, columns - LABEL_COLUMNS - SCALE_COLUMNS);
  return (
    <Box flexDirection="column" width={columns} height={props.rows} flexShrink={0} overflow="hidden">
      {SHOWN_CHANNELS.map((channel) => {
        const series = traces.series(channel);
        const rows = rowsFor(channel, props.rows);
        const whole: PlotRequest = {
          ...{ columns: 1, rows, fromS: 0, toS: 1, series },
          ...bandBehind(traces.band, channel),
          unicode: theme.unicode,
          ...(theme.dots === undefined ? {} : { dots: theme.dots }),
          clipsKicks: CHANNEL[channel].unit === 'V',
          under: props.under?.(channel),
          tripAt: CHANNEL[channel].unit === 'A' ? unit?.tripA : undefined,
          marksOutside: unit?.verdict === 'fail',
          cursorS: props.cursorS,
        };
        const [first, ...others] = panels;
        const main = tracePlot({ ...whole, ...first });
        const { low, high } = main;
        const beside = others.map((panel) => tracePlot({ ...whole, ...panel, edges: { low, high } }));
        return (
          <Box key={channel} height={rows} flexShrink={0}>
            <Numbers
              {...{ channel, series, theme, rows }}
              spans={thrown}
              now={traces.latest(channel)}
              tripA={whole.tripAt}
            />
            <Scale plot={main} unit={CHANNEL[channel].unit} theme={theme} rows={rows} />
            {[main, ...beside].map((plot, i) => (
              // biome-ignore lint/suspicious/noArrayIndexKey: pictures beside one another have no other name
              <Drawing key={i} plot={plot} theme={theme} isFirst={i === 0} />
            ))}
          </Box>
        );
      })}
      <Line theme={theme} tone="quiet">
        {window ? windowAxis(window, panels) : stepAxis(spans, panels)}
      </Line>
    </Box>
  );
}

/** The whole run, or what is enlarged of it; behind it the starts. */
function panelsOf(
  { view, traces, window, rows }: TracesProps,
  spans: readonly StepSpan[],
  room: number,
): Panel[] {
  const toS = runEndS(view, traces);
  if (window) return [{ fromS: window.fromS, toS: window.toS, columns: room }];
  const unit = view.units[view.current];
  const isByHand = unit?.isByHand === true && unit.state !== 'told';
  const starts = (isByHand ? [] : (['forward', 'reverse'] as const)).flatMap((way) => {
    const first = spans.find(({ step }) => step.position === way && step.feed === 'full');
    return first === undefined ? [] : [{ fromS: first.fromS, toS: first.fromS + START_S }];
  });
  if (room < ROOM_FOR_STARTS || rows < ROWS_FOR_STARTS || starts.length === 0)
    return [{ fromS: 0, toS, columns: room }];
  const each = Math.max(LEAST_START_COLUMNS, Math.floor(room * START_PART));
  return [
    { fromS: 0, toS, columns: room - starts.length * (each + 1) },
    ...starts.map((start) => ({ ...start, columns: each })),
  ];
}

interface NumbersProps {
  channel: Channel;
  series: Series;
  spans: readonly StepSpan[];
  now: number | undefined;
  tripA: number | undefined;
  theme: Theme;
  rows: number;
}

function Numbers({ channel, series, spans, now, tripA, theme, rows }: NumbersProps) {
  const { unit, short } = CHANNEL[channel];
  const isCurrent = unit === 'A';
  const numbers = traceNumbers(series, spans).filter(
    ({ name }) => name !== 'peak' || (isCurrent && rows > 3),
  );
  const lines = [
    ...numbers.map(({ name, value }) => ({ name: name as string, read: reading(channel, value) })),
    ...(tripA === undefined ? [] : [{ name: 'trip', read: `±${amount(tripA, 'A', 0)}` }]),
  ].slice(0, rows - 1);
  // A sign may be several on a plain terminal.
  const told = (name: string, read: string): string =>
    `${name}${printable(theme, read).padStart(NAME_COLUMNS - 1 + READ_COLUMNS - name.length)}`;
  return (
    <Box flexDirection="column" width={LABEL_COLUMNS} flexShrink={0} overflow="hidden">
      <Line theme={theme} bold>
        {told(capitalised(short), reading(channel, now))}
      </Line>
      {lines.map(({ name, read }) => (
        <Line key={name} theme={theme}>
          {told(name, read)}
        </Line>
      ))}
    </Box>
  );
}

function Scale({ plot, unit, theme, rows }: { plot: Plot; unit: string; theme: Theme; rows: number }) {
  const bar = theme.unicode ? '┤' : '|';
  const rest = theme.unicode ? '│' : '|';
  const [highest] = plot.ticks;
  const lines = Array.from({ length: rows }, (_, row) => {
    const tick = plot.ticks.find((one) => one.row === row);
    if (tick === undefined) return rest;
    return `${shortly(tick.value, tick === highest ? unit : '')}${bar}`;
  });
  return (
    <Box width={SCALE_COLUMNS} flexShrink={0}>
      <Line theme={theme} tone="quiet" isWhole>
        {lines.map((line) => line.padStart(SCALE_COLUMNS)).join('\n')}
      </Line>
    </Box>
  );
}

function Drawing({ plot, theme, isFirst }: { plot: Plot; theme: Theme; isFirst: boolean }) {
  return (
    <Box flexDirection="column" flexShrink={0} marginLeft={isFirst ? 0 : 1}>
      {plot.rows.map((runs, row) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: rows of a drawing have no other name
        <Text key={row} wrap="truncate-end">
          {runs.map((run, i) => (
            // biome-ignore lint/suspicious/noArrayIndexKey: runs of a drawing have no other name
            <Text key={i} {...colourOf(theme, run.tone)}>
              {run.text}
            </Text>
          ))}
        </Text>
      ))}
    </Box>
  );
}

/** The steps' names under the stretch of time in which each is thrown. */
function stepAxis(spans: readonly StepSpan[], [first, ...starts]: readonly Panel[]): string {
  if (first === undefined) return '';
  const { columns, toS } = first;
  const signs: string[] = new Array(columns).fill(' ');
  for (const { step, fromS, toS: endS } of spans) {
    const from = Math.round((fromS / toS) * columns);
    const room = Math.round((endS / toS) * columns) - from - 1;
    [...`|${step.position}`.slice(0, Math.max(1, room + 1))].forEach((sign, i) => {
      if (from + i < columns) signs[from + i] = sign;
    });
  }
  const enlarged = starts.map(({ fromS, columns: room }) => {
    const { step } = spans.find((span) => span.fromS === fromS) ?? {};
    return `|${step?.position ?? ''} ${amount(1000 * START_S, 'ms', 0)}`.slice(0, room).padEnd(room);
  });
  const axis = `0 to ${amount(toS, 's', 1)}`.padEnd(LABEL_COLUMNS + SCALE_COLUMNS);
  return `${axis}${[signs.join(''), ...enlarged].join(' ')}`;
}

/** First and last instant of what is enlarged. */
function windowAxis({ fromS, toS }: { fromS: number; toS: number }, [panel]: readonly Panel[]): string {
  const decimals = toS - fromS < 1 ? 3 : 2;
  const last = amount(toS, 's', decimals);
  const room = Math.max(0, (panel?.columns ?? 0) - last.length);
  return `${''.padEnd(LABEL_COLUMNS + SCALE_COLUMNS)}${amount(fromS, 's', decimals).padEnd(room)}${last}`;
}
