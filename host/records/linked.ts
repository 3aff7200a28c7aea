// Who wants to hear that this program has written something into a chain.

type Listener = () => void;

const listeners = new Set<Listener>();

/** Called while the transaction is still open: to be noted, and looked at later. Returns how to stop it. */
export function whenLinked(listener: Listener): () => void {
  listeners.add(listener);
  return () => {
    listeners.delete(listener);
  };
}

export function tellLinked(): void {
  for (const listener of listeners) listener();
}
