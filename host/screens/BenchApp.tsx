// Joins the screen to keys, window size and the controller.

import { useInput } from 'ink';
import { useEffect, useMemo } from 'react';
import { wallClock } from '../link/index.js';
import { BenchScreen, isLargeEnough } from './BenchScreen.js';
import type { BenchController } from './bench-controller.js';
import type { FrameStream } from './frame-stream.js';
import { KeyReader } from './key-reader.js';
import type { Theme } from './theme.js';
import { useRedraw } from './use-redraw.js';

export interface BenchAppProps {
  controller: BenchController;
  frames: FrameStream;
  theme: Theme;
  /** Typed by a foot switch in place of Enter. */
  startKey?: string | undefined;
}

export function BenchApp({ controller, frames, theme, startKey }: BenchAppProps) {
  useRedraw(controller, frames);
  const keys = useMemo(() => new KeyReader(controller, wallClock, startKey), [controller, startKey]);
  useEffect(() => () => keys.dispose(), [keys]);
  useInput((input, key) => keys.take(input, key));
  controller.canRead = isLargeEnough({ columns: frames.columns + 1, rows: frames.rows });
  return (
    <BenchScreen
      state={controller.state}
      traces={controller.traces}
      past={controller.pastRuns}
      theme={theme}
      columns={frames.columns + 1}
      rows={frames.rows}
    />
  );
}
