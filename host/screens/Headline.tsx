// The part read from across the bench: the position thrown now, or the verdict, in large words with its sentence.

import { Box, Text } from 'ink';
import type { HandPrompt } from '../bench/index.js';
import { CHANNEL, RIG_CHANNELS } from '../capture/index.js';
import { FEED_WORDS, VERDICT_WORDS } from '../tell/index.js';
import type { UnitView } from './bench-view-model.js';
import { BIG_WORD_ROWS, bigWord, canDraw } from './big-words.js';
import { reading, wrapWords } from './format.js';
import { Line } from './Line.js';
import type { ScreenState } from './screen-state.js';
import { bandOf, colourOf, printable, type Theme, type Tone, VERDICT_TONES } from './theme.js';
import type { TraceStore } from './trace-store.js';

/** Rows below the large word while nothing is told. */
const SENTENCE_ROWS = 2;
/** Most rows of a verdict's reason, where no cause stands below in its place. */
const MOST_REASON_ROWS = 6;

/** Rows of the large word with its sentence. */
export function headlineRows(state: ScreenState, theme: Theme, columns: number): number {
  return BIG_WORD_ROWS[theme.unicode ? 'unicode' : 'ascii'] + sentenceRows(state, theme, columns);
}

function sentenceRows(state: ScreenState, theme: Theme, columns: number): number {
  const unit = state.bench.units[state.bench.current];
  if (unit?.verdict === undefined || state.stop === 'unconfirmed') return SENTENCE_ROWS;
  if (isToldBelow(unit)) return 0;
  return Math.min(MOST_REASON_ROWS, wrapWords(printable(theme, unit.sentence), columns).length);
}

/** The lines below say all of it, and more. */
const isToldBelow = ({ says, does = [], grade, findings }: UnitView): boolean =>
  grade === undefined && ((says === 'cause' && findings.length > 0) || (says === 'pass' && does.length > 0));

export function headlineWord(state: ScreenState): { word: string; tone: Tone } {
  const unit = state.bench.units[state.bench.current];
  if (state.stop !== 'no' && !isJudged(unit)) return { word: 'STOPPED', tone: 'doubt' };
  if (unit?.verdict !== undefined) {
    return { word: VERDICT_WORDS[unit.verdict], tone: VERDICT_TONES[unit.verdict] };
  }
  const { position, feed, stepIndex, isJudging, prompt } = state.bench;
  if (prompt !== undefined) return { word: promptWord(prompt), tone: 'doubt' };
  if (isJudging) return { word: 'JUDGING', tone: 'plain' };
  if (stepIndex >= 0) {
    if (position !== 'rest') return { word: position.toUpperCase(), tone: 'trace' };
    return { word: feed === 'off' ? 'OFF' : 'REST', tone: 'plain' };
  }
  return {
    word: unit === undefined || state.bench.rig === undefined ? 'CONNECTING' : 'READY',
    tone: 'plain',
  };
}

/** A verdict stands, whatever was stopped after it. */
const isJudged = (unit: UnitView | undefined): boolean => unit?.state === 'told' && !unit.aborted;

/** Letters that fit beside nothing else in 80 columns. */
const LONGEST_BIG_WORD = 9;

/** What the hand has to do now, in the words that can be drawn large. */
function promptWord({ code, position, side = position }: HandPrompt): string {
  if (code === 'hold') return 'HOLD';
  if (code === 'ask') return 'YOUR TURN';
  if (code === 'way') return 'WHICH WAY';
  if (code === 'let-go' || code === 'held-too-long' || code === 'go-on') return 'LET GO';
  const word = side.toUpperCase();
  return word.length <= LONGEST_BIG_WORD && canDraw(word) ? word : 'THROW';
}

export interface HeadlineProps {
  state: ScreenState;
  traces: TraceStore;
  theme: Theme;
  columns: number;
}

export function Headline({ state, traces, theme, columns }: HeadlineProps) {
  const { word, tone } = headlineWord(state);
  const rows = bigWord(word, theme.unicode);
  // What is over stands in a band of its colour across the screen, to be read two metres away.
  const isOver = state.bench.units[state.bench.current]?.verdict !== undefined || state.stop !== 'no';
  const sentence = sentenceRows(state, theme, columns);
  return (
    <Box
      flexDirection="column"
      width={columns}
      height={headlineRows(state, theme, columns)}
      flexShrink={0}
      overflow="hidden"
    >
      {rows.map((row, i) => (
        <Text
          // biome-ignore lint/suspicious/noArrayIndexKey: rows of a drawing have no other name
          key={i}
          {...(isOver ? bandOf(theme, tone) : colourOf(theme, tone))}
          wrap="truncate-end"
        >
          {isOver ? `  ${row}`.padEnd(columns) : row}
        </Text>
      ))}
      <Box flexDirection="column" height={sentence} overflow="hidden">
        {sentence > 0 && <Sentence state={state} traces={traces} theme={theme} columns={columns} />}
      </Box>
    </Box>
  );
}

interface Told {
  text: string;
  tone?: Tone;
  bold?: true;
}

/** What stands above all else now; undefined while a step runs, which is then told with its readings. */
function told({ bench, stop, ended }: ScreenState): Told | undefined {
  const unit = bench.units[bench.current];
  if (stop === 'unconfirmed') {
    const text =
      'The rig has not confirmed that outputs are off. Break the motor feed at the stop switch. q leaves.';
    return { text, tone: 'bad', bold: true };
  }
  if (stop === 'asked' && !ended && unit?.state === 'on-bench')
    return { text: 'Outputs off is sent; waiting for the rig to end the run.' };
  if (unit?.verdict !== undefined) return { text: unit.sentence, bold: true };
  // What a person is waited for comes before what went wrong on the way.
  if (bench.prompt !== undefined) return { text: bench.prompt.sentence, bold: true };
  if (unit && unit.sentence !== '') return { text: unit.sentence, bold: true };
  if (bench.isJudging) return { text: 'Outputs off. The readings are held against the circuit.' };
  if (unit?.steps[bench.stepIndex] !== undefined) return undefined;
  return { text: bench.rig ? 'Outputs off.' : 'Waiting for the rig to answer.' };
}

function Sentence({ state, traces, theme, columns }: HeadlineProps) {
  const { bench } = state;
  const unit = bench.units[bench.current];
  const step = unit?.steps[bench.stepIndex];
  const above = told(state);
  if (above !== undefined || unit === undefined || step === undefined) {
    const { text = '', ...look } = above ?? {};
    return (
      <Line theme={theme} wrapAt={columns} {...look}>
        {text}
      </Line>
    );
  }
  const others = RIG_CHANNELS.filter((channel) => !CHANNEL[channel].isTraced)
    .map((channel) => `${CHANNEL[channel].short} ${reading(channel, traces.latest(channel))}`)
    .join('   ');
  return (
    <>
      <Line theme={theme}>
        {`Step ${bench.stepIndex + 1} of ${unit.steps.length}: ${step.position}, ${FEED_WORDS[step.feed]}, ${step.durationS} s`}
      </Line>
      <Line theme={theme}>{others}</Line>
    </>
  );
}
