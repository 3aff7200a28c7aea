// What a screen is a function of: a state that tells when it has changed, and the word that the screen may close.

export class Changing<State, Closed> {
  /** Settles when the screen may close. */
  readonly closed: Promise<Closed>;
  readonly #listeners = new Set<() => void>();
  #settle: (how: Closed) => void = () => {};

  constructor(public state: State) {
    this.closed = new Promise((resolve) => {
      this.#settle = resolve;
    });
  }

  /** Calls back after every change; returns the unsubscribe function. */
  onChange(listener: () => void): () => void {
    this.#listeners.add(listener);
    return () => this.#listeners.delete(listener);
  }

  dispose(): void {
    this.#listeners.clear();
  }

  protected set(change: Partial<State>): void {
    this.state = { ...this.state, ...change };
    for (const listener of this.#listeners) listener();
  }

  protected close(how: Closed): void {
    this.#settle(how);
  }
}
