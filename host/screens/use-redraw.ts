// Redraws a screen when what it shows or the window's size has changed, at most nine times a second.

import { useEffect, useState } from 'react';
import type { Changing } from './changing.js';
import type { FrameStream } from './frame-stream.js';

const REDRAW_MS = 110;

export function useRedraw(
  controller: Pick<Changing<unknown, unknown>, 'onChange'>,
  frames: FrameStream,
): void {
  const [, redraw] = useState(0);
  useEffect(() => {
    let pending: NodeJS.Timeout | undefined;
    let drawnAt = Number.NEGATIVE_INFINITY;
    const draw = (): void => {
      pending = undefined;
      drawnAt = performance.now();
      redraw((count) => count + 1);
    };
    const unsubscribe = controller.onChange(() => {
      pending ??= setTimeout(draw, Math.max(0, drawnAt + REDRAW_MS - performance.now()));
    });
    frames.on('size', draw);
    return () => {
      clearTimeout(pending);
      unsubscribe();
      frames.off('size', draw);
    };
  }, [controller, frames]);
}
