// Screens and what plain output shares with them. Ink and React load only when a screen is mounted.

import type { mountBench } from './mount-bench.js';
import type { mountTraining } from './mount-training.js';

export * from './bench-controller.js';
export type { BenchControllerOptions } from './bench-controller-options.js';
export * from './bench-view-model.js';
export * from './format.js';
export * from './gate.js';
export * from './question.js';
export type { RoomContent, RoomRow, TalkContent } from './room.js';
export type { ScreenState } from './screen-state.js';
export * from './text-plot.js';
export * from './theme.js';
export { bandBehind } from './trace-plot.js';
export * from './training-format.js';

/** React's development build records every render; a tray of hours would fill the memory. */
function withoutRecords(): void {
  const { env } = process;
  env.NODE_ENV ??= 'production';
}

export async function showBench(...shown: Parameters<typeof mountBench>): ReturnType<typeof mountBench> {
  withoutRecords();
  return (await import('./mount-bench.js')).mountBench(...shown);
}

export async function showTraining(
  ...shown: Parameters<typeof mountTraining>
): ReturnType<typeof mountTraining> {
  withoutRecords();
  return (await import('./mount-training.js')).mountTraining(...shown);
}
