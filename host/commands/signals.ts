// The signals that ask a program to leave.

const NAMES = ['SIGINT', 'SIGTERM', 'SIGHUP'] as const;

/** Calls back on each of them; returns the way back. */
export function onSignals(leave: () => void): () => void {
  for (const name of NAMES) process.on(name, leave);
  return () => {
    for (const name of NAMES) process.off(name, leave);
  };
}
