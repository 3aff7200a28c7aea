// Joins the screen to keys, window size and the controller; redraws at most nine times a second.

import { useInput } from 'ink';
import { useEffect, useState } from 'react';
import { BenchScreen } from './BenchScreen.js';
import type { BenchController } from './bench-controller.js';
import type { FrameStream } from './frame-stream.js';
import { keyAction } from './keys.js';
import type { Theme } from './theme.js';

const REDRAW_MS = 110;

export interface BenchAppProps {
  controller: BenchController;
  frames: FrameStream;
  theme: Theme;
}

export function BenchApp({ controller, frames, theme }: BenchAppProps) {
  const [, redraw] = useState(0);
  useEffect(() => {
    let pending: NodeJS.Timeout | undefined;
    let drawnAt = Number.NEGATIVE_INFINITY;
    const draw = (): void => {
      pending = undefined;
      drawnAt = performance.now();
      redraw((count) => count + 1);
    };
    const unsubscribe = controller.onChange(() => {
      pending ??= setTimeout(draw, Math.max(0, drawnAt + REDRAW_MS - performance.now()));
    });
    frames.on('size', draw);
    return () => {
      clearTimeout(pending);
      unsubscribe();
      frames.off('size', draw);
    };
  }, [controller, frames]);
  useInput((input, key) => controller.press(keyAction(input, key)));
  return (
    <BenchScreen
      state={controller.state}
      traces={controller.traces}
      theme={theme}
      columns={frames.columns + 1}
      rows={frames.rows}
    />
  );
}
