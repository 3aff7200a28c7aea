// A terminal in miniature inside the bench screen: what asks in lines elsewhere asks here, word for word. Its input stream
// is switched to single keys while something may be energised, as a terminal's is; from then until it is switched back
// every key but Enter that means anything means outputs off. It drives nothing itself.

import { PassThrough } from 'node:stream';

/** What the other side of the talk is handed. */
export interface TalkTerminal {
  /** Lines that are typed; after `setRawMode(true)` single keys. */
  readonly stdin: NodeJS.ReadableStream;
  write(text: string): void;
  /** Aborted when the person leaves: nobody reads or answers any more. */
  readonly closed: AbortSignal;
}

export interface TalkView {
  /** What was told and answered, oldest first. */
  lines: readonly string[];
  /** The question that stands, to be answered behind it; empty while nothing is asked. */
  asked: string;
  /** Single keys are taken: something may be energised. */
  isLive: boolean;
  /** Nothing more will be told or asked. */
  isOver: boolean;
}

export const EMPTY_TALK: TalkView = { lines: [], asked: '', isLive: false, isOver: false };

/** Older lines are forgotten. */
const MOST_LINES = 2000;

export class Talk implements TalkTerminal {
  readonly stdin: PassThrough & { isTTY: boolean; setRawMode(on: boolean): unknown };
  readonly #closed = new AbortController();
  #view = EMPTY_TALK;

  constructor(readonly onChange: (view: TalkView) => void) {
    this.stdin = Object.assign(new PassThrough(), {
      isTTY: true,
      setRawMode: (isLive: boolean) => this.#become({ isLive }),
    });
  }

  get view(): TalkView {
    return this.#view;
  }

  get closed(): AbortSignal {
    return this.#closed.signal;
  }

  write(text: string): void {
    const lines = `${this.#view.asked}${text}`.split('\n');
    const asked = lines.pop() ?? '';
    this.#become({ asked, lines: [...this.#view.lines, ...lines].slice(-MOST_LINES) });
  }

  /** An answer, or a line of whatever length that was not asked for; an empty one only where something is asked. */
  answer(typed: string): void {
    if (typed === '' && this.#view.asked === '') return;
    this.write(`${typed}\n`);
    this.stdin.write(`${typed}\n`);
  }

  /** A single key while something may be energised. */
  key(character: string): void {
    if (this.#view.isLive) this.stdin.write(character);
  }

  /** The person goes: no answer will come. */
  leave(): void {
    this.#closed.abort();
    this.stdin.end();
  }

  over(): void {
    this.#become({ isOver: true, isLive: false });
    this.stdin.end();
  }

  #become(change: Partial<TalkView>): void {
    this.#view = { ...this.#view, ...change };
    this.onChange(this.#view);
  }
}
