// Joins the training screen to keys, window size and its controller.

import { useInput } from 'ink';
import type { FrameStream } from './frame-stream.js';
import { TrainingScreen } from './TrainingScreen.js';
import type { Theme } from './theme.js';
import type { TrainingController } from './training-controller.js';
import { useRedraw } from './use-redraw.js';

export interface TrainingAppProps {
  controller: TrainingController;
  frames: FrameStream;
  theme: Theme;
}

export function TrainingApp({ controller, frames, theme }: TrainingAppProps) {
  useRedraw(controller, frames);
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
