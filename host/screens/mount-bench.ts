// The bench screen on a real terminal.

import { createElement } from 'react';
import { wallClock } from '../link/index.js';
import { BenchApp } from './BenchApp.js';
import { Bell } from './bell.js';
import type { BenchController } from './bench-controller.js';
import { drawUntil } from './draw-on.js';
import type { FrameStream } from './frame-stream.js';
import type { Streams } from './terminal.js';
import type { Theme } from './theme.js';

export interface HowShown {
  /** Typed by a foot switch in place of Enter. */
  startKey?: string;
  bell?: boolean;
}

/** Calls `onShown` once, then resolves when the screen may close; the terminal is restored by then. */
export async function mountBench(
  controller: BenchController,
  streams: Streams,
  theme: Theme,
  onShown: () => void,
  { startKey, bell = false }: HowShown = {},
): Promise<{ forced: boolean }> {
  const screen = (frames: FrameStream) => {
    if (bell) {
      const strokes = new Bell(wallClock, () => frames.ring());
      controller.onChange(() => strokes.look(controller.state.bench));
    }
    return createElement(BenchApp, { controller, frames, theme, startKey });
  };
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
