// Lines that a person types, or a program sends, one at a time; what came before it was asked for waits.

import { createInterface } from 'node:readline';

export interface TypedLines {
  /** Undefined when no more will come. */
  next(): Promise<string | undefined>;
  close(): void;
}

export function typedLines(stdin: NodeJS.ReadableStream, signal: AbortSignal): TypedLines {
  const lines = createInterface({ input: stdin, crlfDelay: Number.POSITIVE_INFINITY });
  const waiting: string[] = [];
  let isEnded = signal.aborted;
  let wake: (() => void) | undefined;
  const woken = (): void => {
    wake?.();
    wake = undefined;
  };
  lines.on('line', (line) => {
    waiting.push(line);
    woken();
  });
  const end = (): void => {
    isEnded = true;
    woken();
  };
  lines.on('close', end);
  signal.addEventListener('abort', end);
  return {
    async next() {
      while (waiting.length === 0 && !isEnded) {
        await new Promise<void>((resolve) => {
          wake = resolve;
        });
      }
      return signal.aborted ? undefined : waiting.shift();
    },
    close: () => lines.close(),
  };
}
