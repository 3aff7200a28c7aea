// Draws one screen on an open terminal.

import { type Instance, render } from 'ink';
import type { ReactNode } from 'react';
import type { openTerminal, Streams } from './terminal.js';

export function drawOn(
  { frames }: ReturnType<typeof openTerminal>,
  { stdin }: Streams,
  screen: ReactNode,
): Instance {
  return render(screen, {
    stdout: frames as unknown as NodeJS.WriteStream,
    stdin,
    exitOnCtrlC: false,
    patchConsole: false,
    // Whole frames at every update; the frame stream finds what changed.
    debug: true,
  });
}
