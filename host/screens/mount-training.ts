// Mounts the training screen on a real terminal, runs the training in it, and gives the terminal back.

import { createElement } from 'react';
import type { Reveal, Training, TrainingTools } from '../bench/training/index.js';
import { drawUntil } from './draw-on.js';
import { TrainingApp } from './TrainingApp.js';
import type { Streams } from './terminal.js';
import type { Theme } from './theme.js';
import { TrainingController } from './training-controller.js';

/** Resolves with what was revealed; undefined when the learner left or the run was broken off. */
export async function mountTraining(
  training: Training,
  tools: TrainingTools,
  abort: AbortController,
  streams: Streams,
  theme: Theme,
): Promise<Reveal | undefined> {
  const controller = new TrainingController(training, () => abort.abort());
  let consumed: Promise<void> = Promise.resolve();
  let failure: unknown;
  const onAbort = (): void => {
    if (!controller.state.isStopping) controller.leave();
  };
  const shown = () => {
    consumed = controller.consume(training.run(tools)).catch((error: unknown) => {
      failure = error;
      controller.leave();
    });
    // A signal to the program; Space in the run aborts too, and stays to tell.
    tools.signal.addEventListener('abort', onAbort);
    return controller.closed;
  };
  try {
    const reveal = await drawUntil(
      streams,
      theme,
      (frames) => createElement(TrainingApp, { controller, frames, theme }),
      shown,
    );
    if (failure !== undefined) throw failure;
    return reveal;
  } finally {
    abort.abort();
    tools.signal.removeEventListener('abort', onAbort);
    controller.dispose();
    await consumed;
  }
}
