// The thread that sends what is recorded to the shop's server, whenever it is told to. It has patience for a moment only,
// and whatever goes wrong is an answer.

import { parentPort, workerData } from 'node:worker_threads';
import { catchUpStore, type Patience, serverAddress, type Waiting } from '../server/index.js';
import type { WrittenAddress } from '../server-address.js';

export interface SendingJob {
  server: WrittenAddress;
  /** Path of the store's file. */
  store: string;
  patience: Patience;
}

/** `done` ends each try. */
export type SendingAnswer =
  | { of: 'waiting'; waiting: Waiting }
  | { of: 'done'; trouble?: { sentence: string; advice: string } };

const { store, patience, server } = workerData as SendingJob;
const answer = (told: SendingAnswer): void => parentPort?.postMessage(told);

async function send(): Promise<void> {
  try {
    const address = serverAddress(server.text, server.place);
    if (address === undefined) return answer({ of: 'done' });
    await catchUpStore(store, address, {
      patience,
      onWaiting: (waiting) => answer({ of: 'waiting', waiting }),
    });
    answer({ of: 'done' });
  } catch (error) {
    const sentence = error instanceof Error ? error.message : String(error);
    const advice = error instanceof Error && 'advice' in error ? String(error.advice) : '';
    answer({ of: 'done', trouble: { sentence, advice } });
  }
}

parentPort?.on('message', () => void send());
