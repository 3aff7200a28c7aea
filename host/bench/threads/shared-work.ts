// Work in numbered pieces that threads take one after the other from one counter. The result does not depend on who
// takes what; a thread that starts late, stalls or fails leaves its pieces to the one that waits for them.

import { type MessagePort, receiveMessageOnPort } from 'node:worker_threads';

/** What a piece gives is gathered by the work itself, and handed to the same work of another thread as a share. */
export interface Work {
  readonly count: number;
  readonly isComplete: boolean;
  do(piece: number): unknown;
  share(): unknown;
  add(share: never): void;
}

export interface SharedMessage {
  stage: number;
  share: unknown;
}

/** A thread that has not finished a piece for so long is not waited for. Choice of this program. */
const PATIENCE_MS = 500;

/** Cells of one stage: next piece, how often the helpers got on, and how many have handed in their share. */
const [NEXT, PROGRESS, HANDED_IN] = [0, 1, 2];
const CELLS = 3;

/** Counters for `stages` pieces of work, to be handed to every thread that takes part. */
export const sharedCells = (stages: number): Int32Array =>
  new Int32Array(new SharedArrayBuffer(stages * CELLS * Int32Array.BYTES_PER_ELEMENT));

/** In a helper: does pieces while there are any, then hands in what they gave. */
export function help(work: Work, stage: number, cells: Int32Array, port: MessagePort): void {
  const base = stage * CELLS;
  try {
    for (let piece = take(cells, base); piece < work.count; piece = take(cells, base)) {
      work.do(piece);
      getOn(cells, base);
    }
    port.postMessage({ stage, share: work.share() } satisfies SharedMessage);
  } finally {
    Atomics.add(cells, base + HANDED_IN, 1);
    getOn(cells, base);
  }
}

function getOn(cells: Int32Array, base: number): void {
  Atomics.add(cells, base + PROGRESS, 1);
  Atomics.notify(cells, base + PROGRESS);
}

const take = (cells: Int32Array, base: number): number => Atomics.add(cells, base + NEXT, 1);

/** Where the result is wanted: does pieces too, then waits for the helpers' shares as long as one of them gets on. */
export function doTogether(work: Work, stage: number, cells: Int32Array, helpers = 1): void {
  const base = stage * CELLS;
  for (let piece = take(cells, base); piece < work.count; piece = take(cells, base)) work.do(piece);
  while (!work.isComplete) {
    const seen = Atomics.load(cells, base + PROGRESS);
    if (Atomics.load(cells, base + HANDED_IN) >= helpers) break;
    if (Atomics.wait(cells, base + PROGRESS, seen, PATIENCE_MS) === 'timed-out') break;
  }
}

/** Whatever has come in on `port`, oldest first; does not wait. */
export function* messagesOn(port: MessagePort): Generator<SharedMessage> {
  for (let got = receiveMessageOnPort(port); got; got = receiveMessageOnPort(port))
    yield got.message as SharedMessage;
}
