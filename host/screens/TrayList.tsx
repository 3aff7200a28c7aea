// Where the tray stands: one line of symbols on a small window, a list of its own on a wide one.

import { Box } from 'ink';
import { DISPOSITION_WORDS, VERDICT_WORDS } from '../tell/index.js';
import type { BenchView, UnitView } from './bench-view-model.js';
import { Line } from './Line.js';
import { type Theme, type Tone, VERDICT_TONES, verdictSymbol } from './theme.js';

export function unitSign(unit: UnitView, theme: Theme): { sign: string; word: string; tone: Tone } {
  if (unit.verdict !== undefined) {
    const { verdict } = unit;
    return {
      sign: verdictSymbol(theme, verdict),
      word: unit.disposition ? DISPOSITION_WORDS[unit.disposition] : VERDICT_WORDS[verdict],
      tone: VERDICT_TONES[verdict],
    };
  }
  if (unit.state === 'on-bench')
    return { sign: theme.unicode ? '▶' : '>', word: 'on the bench', tone: 'trace' };
  if (unit.state === 'skipped') return { sign: '-', word: 'skipped', tone: 'quiet' };
  return { sign: theme.unicode ? '·' : '.', word: 'waiting', tone: 'quiet' };
}

/** `3 of 8 done`. */
export function trayCount(view: BenchView): string {
  const told = view.units.filter((unit) => unit.state === 'told').length;
  return `${told} of ${view.units.length} done`;
}

/** First row of a window of `rows` that keeps `at` in sight. */
export function windowStart(at: number, count: number, rows: number): number {
  return Math.max(0, Math.min(at - Math.floor(rows / 2), count - rows));
}

/** Units with their place in the tray: a tag may stand in it twice. */
export function windowOf(view: BenchView, start: number, room: number): { unit: UnitView; place: number }[] {
  return view.units.map((unit, place) => ({ unit, place })).slice(start, start + room);
}

interface TrayProps {
  view: BenchView;
  theme: Theme;
  columns: number;
}

export function TrayLine({ view, theme, columns }: TrayProps) {
  const label = `Tray, ${trayCount(view)}  `;
  const room = Math.max(1, Math.floor((columns - label.length) / 2));
  const start = windowStart(view.current, view.units.length, room);
  return (
    <Box height={1} flexShrink={0} overflow="hidden">
      <Line theme={theme}>{label}</Line>
      {windowOf(view, start, room).map(({ unit, place }) => {
        const { sign, tone } = unitSign(unit, theme);
        return (
          <Line key={place} theme={theme} tone={tone}>
            {sign}
          </Line>
        );
      })}
    </Box>
  );
}

export function TrayList({ view, theme, columns, rows }: TrayProps & { rows: number }) {
  const room = rows - 1;
  const start = windowStart(view.current, view.units.length, room);
  return (
    <Box
      flexDirection="column"
      width={columns}
      height={rows}
      flexShrink={0}
      overflow="hidden"
      paddingLeft={2}
    >
      <Line theme={theme} bold>{`Tray, ${trayCount(view)}`}</Line>
      {windowOf(view, start, room).map(({ unit, place }) => {
        const { sign, word, tone } = unitSign(unit, theme);
        return (
          <Line key={place} theme={theme} tone={tone}>
            {`${sign} ${unit.tag.padEnd(10)} ${word}`}
          </Line>
        );
      })}
    </Box>
  );
}
