// The bench screen on a real terminal.

import { createElement } from 'react';
import { BenchApp } from './BenchApp.js';
import type { BenchController } from './bench-controller.js';
import { drawUntil } from './draw-on.js';
import type { Streams } from './terminal.js';
import type { Theme } from './theme.js';

/** Calls `onShown` once, then resolves when the screen may close; the terminal is restored by then. */
export async function mountBench(
  controller: BenchController,
  streams: Streams,
  theme: Theme,
  onShown: () => void,
): Promise<{ forced: boolean }> {
  const screen: Parameters<typeof drawUntil>[2] = (frames) =>
    createElement(BenchApp, { controller, frames, theme });
  try {
    const shown = () => {
      onShown();
      return controller.closed;
    };
    return (await drawUntil(streams, theme, screen, shown)) ?? { forced: true };
  } finally {
    controller.dispose();
  }
}
