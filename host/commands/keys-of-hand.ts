// Lines that are typed, and at a terminal single keys while something may be energised; in a pipe there are lines only, and
// what was written ahead of a throw is still an answer.

import { Hand } from './hand.js';
import { type TypedLines, typedLines } from './typed-lines.js';

export class Keys {
  readonly lines: TypedLines;
  readonly #hand: Hand | undefined;

  /** @param leave aborted by Ctrl-C while keys are listened to, as by the signal elsewhere */
  constructor(
    stdin: NodeJS.ReadableStream & { isTTY?: boolean },
    readonly leave: AbortController,
  ) {
    const hand = stdin.isTTY === true ? new Hand(stdin, leave.signal) : undefined;
    this.#hand = hand;
    this.lines =
      hand === undefined
        ? typedLines(stdin, leave.signal)
        : {
            async next() {
              const { done, value } = await hand.lines.next();
              return done === true ? undefined : value;
            },
            close: () => hand.close(),
          };
  }

  /** @param off called for every key but Enter that means anything */
  whileLive<T>(off: () => void, work: () => Promise<T>): Promise<T> {
    if (this.#hand === undefined) return work();
    return this.#hand.whileEnergised((key) => {
      if (key === 'enter') return;
      off();
      if (key === 'leave') this.leave.abort();
    }, work);
  }
}
