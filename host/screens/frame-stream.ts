// Stands between ink and the terminal: takes whole frames and writes only the lines that changed, each at its own
// place. So nothing scrolls, nothing flickers, and the last row and the last column are never touched.

import { EventEmitter } from 'node:events';

/** Every so many frames all lines are written anew, should another program have written over them. */
const REFRESH_FRAMES = 30;

const BEGIN_UPDATE = '\u001b[?2026h';
const END_UPDATE = '\u001b[?2026l';

export interface FrameStreamOptions {
  /** Ink cuts long lines with an ellipsis sign; a plain ASCII terminal gets a tilde. */
  ascii?: boolean;
}

/** A stand-in for a terminal's output stream, one column narrower than the terminal. */
export class FrameStream extends EventEmitter {
  /** Ink then leaves cursor and screen alone; that is the terminal session's work. */
  readonly isTTY = false;
  readonly writable = true;
  #size: { columns: number; rows: number };
  readonly #write: (text: string) => void;
  #shown: string[] = [];
  #frames = 0;

  readonly #ellipsis: string;

  constructor(
    size: { columns: number; rows: number },
    write: (text: string) => void,
    options: FrameStreamOptions = {},
  ) {
    super();
    this.#ellipsis = options.ascii === true ? '~' : '…';
    this.#size = size;
    this.#write = write;
  }

  get columns(): number {
    return this.#size.columns - 1;
  }

  get rows(): number {
    return this.#size.rows;
  }

  /** Clears the terminal; the next frame is written whole. */
  resize(size: { columns: number; rows: number }): void {
    this.#size = size;
    this.#shown = [];
    this.#write('\u001b[0m\u001b[2J');
    // Not 'resize': ink would answer that with the old frame before the application knows the new size.
    this.emit('size');
  }

  /** Rings the terminal's bell. */
  ring(): void {
    this.#write('\u0007');
  }

  write(frame: string | Uint8Array, ...rest: unknown[]): boolean {
    const text = typeof frame === 'string' ? frame : Buffer.from(frame).toString('utf8');
    if (text !== '')
      this.#draw(
        text
          .replaceAll('…', this.#ellipsis)
          .split('\n')
          .slice(0, this.rows - 1),
      );
    const done = rest.find((argument) => typeof argument === 'function') as (() => void) | undefined;
    done?.();
    return true;
  }

  #draw(lines: string[]): void {
    this.#frames += 1;
    if (this.#frames % REFRESH_FRAMES === 0) this.#shown = [];
    let out = '';
    for (let row = 0; row < Math.max(lines.length, this.#shown.length); row++) {
      const line = lines[row] ?? '';
      if (line === this.#shown[row]) continue;
      out += `\u001b[${row + 1};1H\u001b[0m${line}\u001b[0m\u001b[K`;
    }
    this.#shown = lines;
    if (out !== '') this.#write(BEGIN_UPDATE + out + END_UPDATE);
  }
}
