// The terminal while a screen has it: alternate screen, no cursor, and everything given back on every way out
// (return, crash, signal). What other code prints meanwhile is kept and told afterwards.

import { writeSync } from 'node:fs';
import { FrameStream, type FrameStreamOptions } from './frame-stream.js';

const ENTER = '\u001b[?1049h\u001b[?25l\u001b[2J\u001b[1;1H';
const LEAVE = '\u001b[0m\u001b[?25h\u001b[?1049l';
const RESIZE_SETTLE_MS = 80;

export interface Streams {
  stdin: NodeJS.ReadStream;
  stdout: NodeJS.WriteStream;
}

export interface TerminalSession {
  frames: FrameStream;
  /** Gives the terminal back; safe to call twice. */
  close(): void;
}

export function openTerminal({ stdin, stdout }: Streams, options: FrameStreamOptions): TerminalSession {
  const write = stdout.write.bind(stdout) as (text: string) => boolean;
  const heldBack = holdBackOthers([stdout, process.stderr]);
  const size = () => ({ columns: stdout.columns ?? 80, rows: stdout.rows ?? 24 });
  const frames = new FrameStream(size(), write, options);
  let isOpen = true;
  let settle: NodeJS.Timeout | undefined;

  const onResize = (): void => {
    clearTimeout(settle);
    settle = setTimeout(() => frames.resize(size()), RESIZE_SETTLE_MS);
  };
  // At 'exit' and on a crash there is no later turn of the event loop: write at once, past the stream's buffer.
  const restoreNow = (): void => {
    if (!isOpen) return;
    isOpen = false;
    try {
      if (stdin.isTTY) stdin.setRawMode(false);
      writeSync(process.stdout.fd, LEAVE);
    } catch {
      // The terminal is gone; there is nothing to give back.
    }
    heldBack.release();
  };

  write(ENTER);
  stdout.on('resize', onResize);
  process.on('exit', restoreNow);
  process.on('uncaughtExceptionMonitor', restoreNow);
  return {
    frames,
    close() {
      clearTimeout(settle);
      stdout.off('resize', onResize);
      process.off('exit', restoreNow);
      process.off('uncaughtExceptionMonitor', restoreNow);
      if (!isOpen) return;
      isOpen = false;
      if (stdin.isTTY) stdin.setRawMode(false);
      write(LEAVE);
      heldBack.release();
    },
  };
}

/** Keeps what is written to `streams` until released, so that a library's message does not tear the frame. */
function holdBackOthers(streams: NodeJS.WriteStream[]): { release(): void } {
  const kept: string[] = [];
  const restore = streams.map((stream) => {
    const original = stream.write;
    stream.write = ((chunk: string | Uint8Array, ...rest: unknown[]) => {
      kept.push(typeof chunk === 'string' ? chunk : Buffer.from(chunk).toString('utf8'));
      const done = rest.find((argument) => typeof argument === 'function') as (() => void) | undefined;
      done?.();
      return true;
    }) as typeof stream.write;
    return () => {
      stream.write = original;
    };
  });
  return {
    release() {
      for (const undo of restore.splice(0)) undo();
      if (kept.length > 0) process.stderr.write(kept.splice(0).join(''));
    },
  };
}
