// Live traces of motor current and both leads over the expected band, with the plan's steps under them.

import { Box, Text } from 'ink';
import { CHANNEL, CHANNELS, type Channel } from '../capture/index.js';
import { amount, shortly } from '../tell/index.js';
import type { BenchView } from './bench-view-model.js';
import { stepSpans } from './bench-view-model.js';
import { reading } from './format.js';
import { Line } from './Line.js';
import { colourOf, type Theme } from './theme.js';
import { bandBehind, tracePlot } from './trace-plot.js';
import type { TraceStore } from './trace-store.js';

const SHOWN = CHANNELS.filter((channel) => CHANNEL[channel].isTraced);
const LABEL_COLUMNS = 16;

export interface TracesProps {
  view: BenchView;
  traces: TraceStore;
  theme: Theme;
  columns: number;
  /** Rows of a plot on the average of the three. */
  plotRows: number;
}

export const tracesRows = (plotRows: number): number => SHOWN.length * plotRows + 1;

/** A current's shape tells most; the leads are mostly on or off, so each gives it a row where there are three. */
function rowsFor(channel: Channel, plotRows: number): number {
  if (plotRows < 3) return plotRows;
  return CHANNEL[channel].unit === 'A' ? plotRows + 2 : plotRows - 1;
}

export function Traces({ view, traces, theme, columns, plotRows }: TracesProps) {
  const spans = stepSpans(view);
  const bandEndS = traces.band?.timeS.at(-1) ?? 0;
  const toS = Math.max(spans.at(-1)?.toS ?? 0, bandEndS, traces.endS, 0.1);
  const plotColumns = columns - LABEL_COLUMNS;
  return (
    <Box
      flexDirection="column"
      width={columns}
      height={tracesRows(plotRows)}
      flexShrink={0}
      overflow="hidden"
    >
      {SHOWN.map((channel) => {
        const { label, unit } = CHANNEL[channel];
        const rows = rowsFor(channel, plotRows);
        const plot = tracePlot({
          columns: plotColumns,
          rows,
          fromS: 0,
          toS,
          series: traces.series(channel),
          ...bandBehind(traces.band, channel),
          unicode: theme.unicode,
          clipsKicks: unit === 'V',
        });
        return (
          <Box key={channel} height={rows} flexShrink={0}>
            <Box flexDirection="column" width={LABEL_COLUMNS} flexShrink={0} overflow="hidden">
              <Line theme={theme}>{label}</Line>
              <Line theme={theme} bold>
                {reading(channel, traces.latest(channel)).trim()}
              </Line>
              {rows > 2 && (
                <Line theme={theme} tone="quiet">
                  {`${shortly(plot.low)} to ${shortly(plot.high, unit)}`}
                </Line>
              )}
            </Box>
            <Box flexDirection="column">
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
          </Box>
        );
      })}
      <Line theme={theme} tone="quiet">
        {stepAxis(spans, toS, plotColumns)}
      </Line>
    </Box>
  );
}

/** The steps' names under the stretch of time in which each is thrown. */
function stepAxis(spans: ReturnType<typeof stepSpans>, toS: number, columns: number): string {
  const signs: string[] = new Array(columns).fill(' ');
  for (const { step, fromS, toS: endS } of spans) {
    const from = Math.round((fromS / toS) * columns);
    const room = Math.round((endS / toS) * columns) - from - 1;
    [...`|${step.position}`.slice(0, Math.max(1, room + 1))].forEach((sign, i) => {
      if (from + i < columns) signs[from + i] = sign;
    });
  }
  return `${`0 to ${amount(toS, 's', 1)}`.padEnd(LABEL_COLUMNS)}${signs.join('')}`;
}
