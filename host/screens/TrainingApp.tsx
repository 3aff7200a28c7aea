// Joins the training screen to keys, window size and its controller; redraws at most nine times a second.

import { useInput } from 'ink';
import { useEffect, useState } from 'react';
import type { FrameStream } from './frame-stream.js';
import { TrainingScreen } from './TrainingScreen.js';
import type { Theme } from './theme.js';
import type { TrainingController } from './training-controller.js';

const REDRAW_MS = 110;

export interface TrainingAppProps {
  controller: TrainingController;
  frames: FrameStream;
  theme: Theme;
}

export function TrainingApp({ controller, frames, theme }: TrainingAppProps) {
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
  useInput((input, key) => controller.press(input, key));
  return (
    <TrainingScreen
      state={controller.state}
      traces={controller.traces}
      readings={controller.training.readings}
      list={controller.list}
      asked={controller.training.asked.length}
      theme={theme}
      columns={frames.columns}
      rows={frames.rows - 1}
    />
  );
}
