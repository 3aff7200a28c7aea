// How the next unit is clipped on, before it is thrown: with the last verdict above it.

import { Box } from 'ink';
import { DISPOSITION_WORDS, VERDICT_WORDS } from '../tell/index.js';
import { Line } from './Line.js';
import { MarkedLine } from './MarkedLine.js';
import type { BenchScreenProps } from './screen-props.js';
import { VERDICT_TONES } from './theme.js';

export function HookUpPage({ state, theme, columns, rows }: BenchScreenProps) {
  const { hookUp, units, current } = state.bench;
  const last = units[current];
  const tag = state.gate?.tag ?? hookUp?.tag ?? '';
  const next = units.findLast((unit) => unit.tag === tag);
  return (
    <Box flexDirection="column" width={columns} height={rows} flexShrink={0} overflow="hidden">
      {last?.verdict !== undefined && (
        <>
          <Line theme={theme} bold wrapAt={columns} tone={VERDICT_TONES[last.verdict]}>
            {`${last.tag} ${VERDICT_WORDS[last.verdict]}${last.disposition ? `, ${DISPOSITION_WORDS[last.disposition]}` : ''}: ${last.sentence}`}
          </Line>
          <Box height={1} flexShrink={0} />
        </>
      )}
      {hookUp !== undefined && (
        <Line theme={theme} bold>
          {`Hook up ${tag}, supply off`}
        </Line>
      )}
      {next !== undefined && <Line theme={theme}>{next.profileTitle}</Line>}
      {hookUp?.lines.map((line, i) => (
        <MarkedLine key={line} theme={theme} columns={columns} mark={`${i + 1}`}>
          {line}
        </MarkedLine>
      ))}
    </Box>
  );
}
