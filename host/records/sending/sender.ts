// Sends what this program records to the shop's server beside its work: in a thread of its own, after each record, and
// once more at the end for a moment. It never delays a run and never fails one: what was not sent waits in the store.

import type { Worker } from 'node:worker_threads';
import { startWorker } from '../../program/index.js';
import { whenLinked } from '../linked.js';
import type { Patience, Waiting } from '../server/index.js';
import type { WrittenAddress } from '../server-address.js';
import type { SendingAnswer, SendingJob } from './catch-up-worker.js';

/** Records written one after the other go together. */
const GATHER_MS = 300;
/** In the background a server that does not answer is soon left alone. */
const PATIENCE: Patience = { connectMs: 1500, answerMs: 10_000 };
/** What the end of the program waits at the most, once the thread is there, and for the thread. */
const FINISH_MS = 4000;
const START_MS = 15_000;

export class Sender {
  readonly #stop: () => void;
  #timer: NodeJS.Timeout | undefined;
  #thread: Worker | undefined;
  #hasAnswered = false;
  #isSending = false;
  /** Something was written since the try that goes on began. */
  #isDue = false;
  #waiting: Waiting | undefined;
  #trouble: { sentence: string; advice: string } | undefined;
  #onIdle: (() => void) | undefined;
  #onFirst: (() => void) | undefined;

  /** @param store path of its file, which need not be there yet */
  constructor(
    private readonly store: string,
    private readonly server: WrittenAddress,
    private readonly patience = PATIENCE,
    private readonly finishMs = FINISH_MS,
  ) {
    this.#stop = whenLinked(() => {
      this.#isDue = true;
      this.#timer ??= setTimeout(() => this.#send(), GATHER_MS).unref();
    });
  }

  /** Sends what is left, for a moment. One line for a person where something waits; undefined where all is sent. */
  async finish(): Promise<string | undefined> {
    this.#stop();
    if (this.#thread === undefined && !this.#isDue) return undefined;
    const isIdle = await new Promise<boolean>((resolve) => {
      const patient = (ms: number) => setTimeout(() => resolve(false), ms);
      let timer = patient(this.#hasAnswered ? this.finishMs : START_MS);
      this.#onFirst = () => {
        clearTimeout(timer);
        timer = patient(this.finishMs);
      };
      this.#onIdle = () => {
        clearTimeout(timer);
        resolve(true);
      };
      if (this.#isDue) this.#send();
      else if (!this.#isSending) this.#onIdle();
    });
    // A batch that is under way is undone by the server, and sent again next time.
    await this.#thread?.terminate();
    if (isIdle && this.#trouble === undefined) return undefined;
    const { sentence, advice } = this.#trouble ?? SLOW;
    return `${waitWords(this.#waiting)}: ${sentence}${advice === '' ? '' : `; ${advice}`}`;
  }

  #send(): void {
    clearTimeout(this.#timer);
    this.#timer = undefined;
    if (this.#isSending) return;
    this.#isDue = false;
    this.#isSending = true;
    this.#thread ??= this.#start();
    this.#thread.postMessage('send');
  }

  #start(): Worker {
    const job: SendingJob = { store: this.store, server: this.server, patience: this.patience };
    const thread = startWorker('./catch-up-worker', import.meta.url, job);
    thread.unref();
    thread.on('message', (answer: SendingAnswer) => {
      if (!this.#hasAnswered) this.#onFirst?.();
      this.#hasAnswered = true;
      if (answer.of === 'waiting') this.#waiting = answer.waiting;
      else this.#done(answer.trouble);
    });
    thread.on('error', (error) => {
      this.#thread = undefined;
      this.#done({ sentence: error.message, advice: '' });
    });
    return thread;
  }

  #done(trouble: { sentence: string; advice: string } | undefined): void {
    this.#isSending = false;
    this.#trouble = trouble;
    if (this.#isDue) this.#send();
    else this.#onIdle?.();
  }
}

const SLOW = {
  sentence: "the shop's server had no time for all of it",
  advice: 'the next run sends on, and so does throwbench store catch-up',
};

function waitWords(waiting: Waiting | undefined): string {
  if (waiting === undefined) return 'records wait here';
  const { runs, entries } = waiting;
  const what = runs > 0 ? counted(runs, 'run', 'runs') : counted(entries, 'entry', 'entries');
  return `${what} here`;
}

const counted = (count: number, one: string, more: string): string =>
  count === 1 ? `1 ${one} waits` : `${count} ${more} wait`;
