// A queue that turns pushed events into an async iterable; bounded only by what one run can produce.

export class EventQueue<T> implements AsyncIterable<T> {
  #waiting: T[] = [];
  #wake: (() => void) | undefined;
  #ended = false;
  #failure: unknown;

  push(item: T): void {
    this.#waiting.push(item);
    this.#wake?.();
  }

  end(failure?: unknown): void {
    this.#ended = true;
    this.#failure = failure;
    this.#wake?.();
  }

  async *[Symbol.asyncIterator](): AsyncGenerator<T> {
    for (;;) {
      while (this.#waiting.length > 0) yield* this.#waiting.splice(0);
      if (this.#ended) {
        if (this.#failure !== undefined) throw this.#failure;
        return;
      }
      await new Promise<void>((resolve) => {
        this.#wake = resolve;
      });
      this.#wake = undefined;
    }
  }
}

/** Runs `work`, which pushes events, and hands them out as they come. A throw in `work` ends the stream with it. */
export function streamOf<T>(work: (emit: (event: T) => void) => Promise<void>): AsyncIterable<T> {
  const queue = new EventQueue<T>();
  work((event) => queue.push(event)).then(
    () => queue.end(),
    (failure) => queue.end(failure ?? new Error('the run failed without a reason')),
  );
  return queue;
}
