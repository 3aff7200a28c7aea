// Screens and what plain output shares with them. Ink and React load only when a screen is mounted.

import type { Reveal, Training, TrainingTools } from '../bench/training/index.js';
import type { BenchController } from './bench-controller.js';
import type { Streams } from './terminal.js';
import type { Theme } from './theme.js';

export * from './bench-controller.js';
export * from './bench-view-model.js';
export * from './format.js';
export * from './text-plot.js';
export * from './theme.js';
export * from './training-format.js';

/** React's development build records every render; a tray of hours would fill the memory. */
function withoutRecords(): void {
  const { env } = process;
  env.NODE_ENV ??= 'production';
}

/** See mount-bench.ts. */
export async function showBench(
  controller: BenchController,
  streams: Streams,
  theme: Theme,
  onShown: () => void,
): Promise<{ forced: boolean }> {
  withoutRecords();
  const { mountBench } = await import('./mount-bench.js');
  return mountBench(controller, streams, theme, onShown);
}

/** See mount-training.ts. */
export async function showTraining(
  training: Training,
  tools: TrainingTools,
  abort: AbortController,
  streams: Streams,
  theme: Theme,
): Promise<Reveal | undefined> {
  withoutRecords();
  const { mountTraining } = await import('./mount-training.js');
  return mountTraining(training, tools, abort, streams, theme);
}
