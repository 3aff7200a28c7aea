// Mounts the bench screen on a real terminal and gives the terminal back when it is left.

import { createElement } from 'react';
import { BenchApp } from './BenchApp.js';
import type { BenchController } from './bench-controller.js';
import { drawOn } from './draw-on.js';
import { openTerminal, type Streams } from './terminal.js';
import type { Theme } from './theme.js';

/** Calls `onShown` once, then resolves when the screen may close; the terminal is restored by then. */
export async function mountBench(
  controller: BenchController,
  streams: Streams,
  theme: Theme,
  onShown: () => void,
): Promise<{ forced: boolean }> {
  const terminal = openTerminal(streams, { ascii: !theme.unicode });
  try {
    const app = drawOn(
      terminal,
      streams,
      createElement(BenchApp, { controller, frames: terminal.frames, theme }),
    );
    onShown();
    const how = await Promise.race([
      controller.closed,
      // Ink ends by itself only when drawing failed.
      app.waitUntilExit().then(() => ({ forced: true })),
    ]);
    app.unmount();
    return how;
  } finally {
    controller.dispose();
    terminal.close();
  }
}
