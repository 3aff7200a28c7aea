// What asks a program to leave.

import type { CommandIo } from './command.js';

const NAMES = ['SIGINT', 'SIGTERM', 'SIGHUP'] as const;

/** Calls back on each of them; returns the way back. */
export function onSignals(leave: () => void): () => void {
  for (const name of NAMES) process.on(name, leave);
  return () => {
    for (const name of NAMES) process.off(name, leave);
  };
}

/** The same also where nobody reads what is told any more. */
export function onLeave({ closed }: CommandIo, leave: () => void): () => void {
  const release = onSignals(leave);
  closed?.addEventListener('abort', leave);
  return () => {
    release();
    closed?.removeEventListener('abort', leave);
  };
}
