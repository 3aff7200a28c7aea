// A person's hand at the keyboard beside something that may be energised: lines are typed with outputs off; while current
// flows there are single keys only, and all but Enter that means anything means outputs off.

import type { Readable } from 'node:stream';

export type HandKey = 'enter' | 'outputs-off' | 'leave';

/** Space and Esc, as on the bench screen. */
const OFF = [' ', '\u001b'];
const CTRL_C = '\u0003';
/** So many characters at once come from a code reader, not from a finger. */
const LEAST_SCANNED = 3;

type Terminal = NodeJS.ReadableStream & { isTTY?: boolean; setRawMode?(on: boolean): unknown };

export class Hand {
  readonly lines: AsyncIterator<string>;
  #typed = '';
  #isEnded = false;
  #wake: () => void = () => undefined;
  #onKeys: ((text: string) => void) | undefined;
  readonly #stdin: Terminal;
  readonly #take = (chunk: Buffer | string): void => {
    if (this.#onKeys) this.#onKeys(String(chunk));
    else this.#typed += String(chunk);
    this.#wake();
  };
  readonly #end = (): void => {
    this.#isEnded = true;
    this.#onKeys?.(CTRL_C);
    this.#wake();
  };

  /** @param signal aborted: whoever waits for a line or a key is told that none will come */
  constructor(
    stdin: NodeJS.ReadableStream,
    readonly signal: AbortSignal,
  ) {
    this.#stdin = stdin as Terminal & Readable;
    stdin.on('data', this.#take);
    stdin.on('end', this.#end);
    signal.addEventListener('abort', this.#end);
    this.lines = { next: () => this.#line() };
  }

  async #line(): Promise<IteratorResult<string>> {
    for (;;) {
      const at = this.#typed.search(/\r\n|\n|\r/);
      if (at >= 0 && !this.signal.aborted) {
        const value = this.#typed.slice(0, at);
        this.#typed = this.#typed.slice(at).replace(/^(\r\n|\n|\r)/, '');
        return { done: false, value };
      }
      if (this.#isEnded) return { done: true, value: undefined };
      await new Promise<void>((resolve) => {
        this.#wake = resolve;
      });
    }
  }

  /**
   * Runs what is energised meanwhile, and tells it each key. What was typed ahead counts for nothing; a scan is outputs
   * off. The terminal is given back when it ends, however it ends.
   */
  async whileEnergised<T>(onKey: (key: HandKey) => void, work: () => Promise<T>): Promise<T> {
    const { isTTY } = this.#stdin;
    this.#typed = '';
    this.#onKeys = (text) => {
      if (text.includes(CTRL_C)) onKey('leave');
      else if (OFF.some((key) => text.includes(key)) || text.replace(/[\r\n]/g, '').length >= LEAST_SCANNED)
        onKey('outputs-off');
      else if (/[\r\n]/.test(text)) onKey('enter');
    };
    if (isTTY) this.#stdin.setRawMode?.(true);
    try {
      if (this.#isEnded) onKey('leave');
      return await work();
    } finally {
      this.#onKeys = undefined;
      if (isTTY) this.#stdin.setRawMode?.(false);
    }
  }

  close(): void {
    this.#stdin.off('data', this.#take);
    this.#stdin.off('end', this.#end);
    this.signal.removeEventListener('abort', this.#end);
    this.#stdin.pause();
  }
}
