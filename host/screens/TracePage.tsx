// The traces of the run that is over, as large as the window: a cursor with all readings under it, zoom, the start of each
// throw, and an earlier run under this one.

import { Box } from 'ink';
import { CHANNEL, type Channel, RIG_CHANNELS } from '../capture/index.js';
import { fixed, VERDICT_WORDS } from '../tell/index.js';
import { stepSpans } from './bench-view-model.js';
import { reading } from './format.js';
import { Line } from './Line.js';
import { alignedSeries, type PastRun } from './past-runs.js';
import type { BenchScreenProps } from './screen-props.js';
import { Traces } from './Traces.js';
import { VERDICT_TONES } from './theme.js';
import type { TraceLook } from './trace-look.js';

const HEAD_ROWS = 1;
const CURSOR_ROWS = 4;

export function TracePage({ state, traces, past, theme, columns, rows }: BenchScreenProps) {
  const { bench, look } = state;
  const unit = bench.units[bench.current];
  if (unit === undefined || look === undefined) return <Line theme={theme}>No traces yet.</Line>;
  const under = look.under === 'nothing' ? undefined : past?.[look.under];
  const underOf =
    under && ((channel: Channel) => alignedSeries(under, channel, bench.stepStartsS, look.cursorS));
  const isWhole = look.fromS === 0 && look.toS >= traces.endS;
  const at = RIG_CHANNELS.map(
    (channel) => `${CHANNEL[channel].short} ${reading(channel, traces.at(channel, look.cursorS)).trim()}`,
  ).join('  ');
  return (
    <Box flexDirection="column" width={columns} height={rows} flexShrink={0} overflow="hidden">
      <Box height={HEAD_ROWS} flexShrink={0}>
        <Line theme={theme} bold tone={unit.verdict ? VERDICT_TONES[unit.verdict] : 'plain'}>
          {`${unit.tag}  ${unit.verdict ? VERDICT_WORDS[unit.verdict] : ''}  ${unit.profileTitle}`}
        </Line>
      </Box>
      <Traces
        view={bench}
        traces={traces}
        theme={theme}
        columns={columns}
        rows={rows - HEAD_ROWS - CURSOR_ROWS}
        window={isWhole ? undefined : look}
        cursorS={look.cursorS}
        under={underOf}
      />
      <Line theme={theme} bold>
        {whereWords(state.bench, look)}
      </Line>
      <Line theme={theme} wrapAt={columns}>
        {at}
      </Line>
      <Line theme={theme} tone={under ? 'under' : 'quiet'}>
        {underWords(look, under)}
      </Line>
    </Box>
  );
}

/** `At 1.234 s, 12 ms into forward`. */
function whereWords(view: BenchScreenProps['state']['bench'], { cursorS }: TraceLook): string {
  const span = stepSpans(view).findLast(({ fromS }) => fromS <= cursorS);
  const into = span ? `, ${fixed(1000 * (cursorS - span.fromS), 0)} ms into ${span.step.position}` : '';
  return `At ${fixed(cursorS, 3)} s${into}`;
}

const UNDER_NAMES = { 'last-good': 'the last good unit', 'attempt-before': 'the attempt before' } as const;

function underWords({ under }: TraceLook, run: PastRun | undefined): string {
  if (under === 'nothing') return 'Shaded: what a good unit does.';
  if (run === undefined) return `Under it: ${UNDER_NAMES[under]}: none in this sitting.`;
  return `Under it: ${UNDER_NAMES[under]}, ${run.tag}${run.attempt > 1 ? `, attempt ${run.attempt}` : ''}.`;
}
