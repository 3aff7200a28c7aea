// One screen on a real terminal, which is given back when the screen is left.

import { render } from 'ink';
import type { ReactNode } from 'react';
import type { FrameStream } from './frame-stream.js';
import { openTerminal, type Streams } from './terminal.js';
import type { Theme } from './theme.js';

/** What `shown` resolves to, which is called when the screen stands; undefined where drawing failed. */
export async function drawUntil<T>(
  streams: Streams,
  theme: Theme,
  screen: (frames: FrameStream) => ReactNode,
  shown: () => Promise<T>,
): Promise<T | undefined> {
  const { frames, close } = openTerminal(streams, { ascii: !theme.unicode });
  try {
    const app = render(screen(frames), {
      stdout: frames as unknown as NodeJS.WriteStream,
      stdin: streams.stdin,
      exitOnCtrlC: false,
      patchConsole: false,
      // Whole frames at every update; the frame stream finds what changed.
      debug: true,
    });
    // Ink ends by itself only when drawing failed.
    const how = await Promise.race([shown(), app.waitUntilExit().then(() => undefined)]);
    app.unmount();
    return how;
  } finally {
    close();
  }
}
