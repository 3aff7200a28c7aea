// How far the server had come when it was last heard, kept beside the store: what waits here can be told without it.
// A note only: each catch-up asks the server itself.

import { existsSync, readFileSync, renameSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import type { LocalChain } from './local-chain.js';

const FILE = 'throwbench-server.json';

interface Note {
  server: string;
  place: number;
  hash: string;
}

export interface Waiting {
  runs: number;
  entries: number;
}

/** @param store path of its file; @param name of the server, as it may be shown */
export function noteReached(store: string, name: string, local: LocalChain, place: number): void {
  const hash = local.hashAt(place);
  if (hash === undefined) return;
  const file = join(dirname(store), FILE);
  const note: Note = { server: name, place, hash };
  try {
    writeFileSync(`${file}.${process.pid}`, `${JSON.stringify(note)}\n`);
    renameSync(`${file}.${process.pid}`, file);
  } catch {
    // Told as waiting, then, until the server is asked.
  }
}

/** What that server has not, as far as is known here; everything where it was never heard. */
export function waitingFor(store: string, name: string, local: LocalChain): Waiting {
  const note = read(join(dirname(store), FILE));
  const isOurs = note?.server === name && local.hashAt(note.place) === note.hash;
  return local.behind(isOurs ? note.place : 0);
}

function read(file: string): Note | undefined {
  if (!existsSync(file)) return undefined;
  try {
    const note = JSON.parse(readFileSync(file, 'utf8')) as Partial<Note>;
    return typeof note.place === 'number' ? (note as Note) : undefined;
  } catch {
    return undefined;
  }
}
