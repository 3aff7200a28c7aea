// Joins the screen to keys, window size and the controller.

import { useInput } from 'ink';
import { BenchScreen } from './BenchScreen.js';
import type { BenchController } from './bench-controller.js';
import type { FrameStream } from './frame-stream.js';
import { keyAction } from './keys.js';
import type { Theme } from './theme.js';
import { useRedraw } from './use-redraw.js';

export interface BenchAppProps {
  controller: BenchController;
  frames: FrameStream;
  theme: Theme;
}

export function BenchApp({ controller, frames, theme }: BenchAppProps) {
  useRedraw(controller, frames);
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
