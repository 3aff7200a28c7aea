// Requests and their replies: one line under way at a time, matched by sequence number, sent again when no answer
// comes. The board answers the same line twice in a row without acting twice, so every request may be repeated as
// long as no other line goes between; an urgent one goes at once and drops what was waiting.

import {
  type BoardLine,
  encodeRequest,
  PROTOCOL_VERSION,
  type ReplyOf,
  type Request,
  readReply,
  refusalSentence,
  unreadField,
  type Verb,
} from '../../firmware-protocol/index.js';
import { oneLine } from '../input/index.js';
import type { Clock, Timer } from './clock.js';
import type { LinkCounters } from './link-counters.js';
import { LinkError } from './link-error.js';

/** A bridge may hold bytes for 16 ms (common default latency timer), the board answers within a few. */
const LEAST_PATIENCE_S = 0.06;
/** A request sent again also shows the host to the board, so never wait near its silence limit. */
const LONGEST_PATIENCE_S = 0.15;
const PATIENCE_OF_ROUND_TRIPS = 3;
const ATTEMPTS = 6;
/** Probes whose answers may still come; older ones are given up. */
const OPEN_PROBES = 8;
/** Characters of a word that could not be read. */
const LONGEST_SHOWN = 24;

export interface RequestOptions {
  attempts?: number;
  patienceS?: number;
}

interface Errand {
  request: Request;
  line: string;
  seq: number;
  attemptsLeft: number;
  patienceS: number;
  sentS: number;
  isRepeated: boolean;
  /** Its own answer came, whole, and could not be read. */
  unread?: LinkError;
  timer?: Timer;
  resolve(reply: unknown): void;
  reject(error: LinkError): void;
}

type Answer = Extract<BoardLine, { kind: 'ok' | 'refused' }>;

export class RequestDesk {
  readonly #waiting: Errand[] = [];
  #current: Errand | undefined;
  #urgent: Errand | undefined;
  #seq: number;
  #closedBy: LinkError | undefined;
  #roundTripS = 0;
  readonly #probes = new Map<number, { verb: Verb; onReply(reply: unknown): void }>();

  constructor(
    readonly clock: Clock,
    readonly counters: LinkCounters,
    readonly write: (line: string) => void,
    readonly path: string,
  ) {
    // Another number than the last session's, so that an answer still in the pipe finds no taker.
    this.#seq = Math.floor(clock.nowS() * 1000) & 0xff;
  }

  get isIdle(): boolean {
    return this.#current === undefined && this.#urgent === undefined;
  }

  /** Rejects with a LinkError: `refused`, `reply-timeout`, `link-lost` or `cancelled`. */
  send<R extends Request>(request: R, options: RequestOptions = {}): Promise<ReplyOf<R['verb']>> {
    return this.#ask(request, options, (errand) => {
      this.#waiting.push(errand);
      this.#next();
    });
  }

  /**
   * Asks without waiting: nothing is held up, nothing is sent again, and no answer is no error. Only while idle, so
   * that it never comes between a request and its repeat.
   */
  probe<R extends Request>(request: R, onReply: (reply: ReplyOf<R['verb']>) => void): void {
    if (!this.isIdle || this.#closedBy) return;
    this.#seq = (this.#seq + 1) & 0xff;
    this.#probes.set(this.#seq, { verb: request.verb, onReply: onReply as (reply: unknown) => void });
    const [oldest] = this.#probes.keys();
    if (oldest !== undefined && this.#probes.size > OPEN_PROBES) this.#probes.delete(oldest);
    this.counters.requests += 1;
    this.write(encodeRequest(this.#seq, request));
  }

  /** Written before this returns; everything else that waits is cancelled. */
  sendUrgent<R extends Request>(request: R, options: RequestOptions = {}): Promise<ReplyOf<R['verb']>> {
    this.#drop(new LinkError('cancelled', { path: this.path }));
    return this.#ask(request, options, (errand) => {
      this.#urgent = errand;
      const closedBy = this.#closedBy;
      if (closedBy) this.#finish(errand, () => errand.reject(closedBy));
      else this.#transmit(errand);
    });
  }

  /** A last line before the port is closed; nobody waits for its answer. */
  partWith(request: Request): void {
    this.#seq = (this.#seq + 1) & 0xff;
    this.counters.requests += 1;
    this.write(encodeRequest(this.#seq, request));
  }

  /** Sends what is under way once more at once: the board has just begun to listen. */
  nudge(): void {
    const errand = this.#current;
    if (errand === undefined) return;
    errand.timer?.cancel();
    errand.attemptsLeft += 1;
    this.#transmit(errand);
  }

  /** An answer of the board; one that fits nothing under way is counted and dropped. */
  answer(line: Answer): void {
    const { seq } = line;
    const probe = seq === undefined ? undefined : this.#probes.get(seq);
    if (seq !== undefined && probe !== undefined) {
      this.#probes.delete(seq);
      const reply = line.kind === 'ok' ? readReply(probe.verb, line.words) : undefined;
      if (reply !== undefined) probe.onReply(reply);
      return;
    }
    const errand = [this.#urgent, this.#current].find(
      (candidate) => candidate !== undefined && (line.seq === candidate.seq || line.seq === undefined),
    );
    if (errand === undefined) {
      this.counters.strayReplies += 1;
      return;
    }
    if (line.kind === 'refused') this.#refused(errand, line);
    else {
      const { verb } = errand.request;
      const reply = readReply(verb, line.words);
      // Another verb's answer under the same number, of an earlier session; or a board that this program does not know.
      if (reply === undefined) {
        this.counters.strayReplies += 1;
        errand.unread = unreadAnswer(this.path, verb, line.words);
      } else {
        this.#measureRoundTrip(errand);
        this.#finish(errand, () => errand.resolve(reply));
      }
    }
  }

  /** Ends everything under way with `error`, and whatever comes later too. */
  close(error: LinkError): void {
    this.#closedBy ??= error;
    this.#drop(error);
  }

  #drop(error: LinkError): void {
    const errands = [this.#urgent, this.#current, ...this.#waiting.splice(0)];
    this.#urgent = this.#current = undefined;
    for (const errand of errands) {
      errand?.timer?.cancel();
      errand?.reject(error);
    }
  }

  #ask<R extends Request>(
    request: R,
    { attempts: attemptsLeft = ATTEMPTS, patienceS = this.#patienceS() }: RequestOptions,
    start: (errand: Errand) => void,
  ): Promise<ReplyOf<R['verb']>> {
    const seq = (this.#seq + 1) & 0xff;
    this.#seq = seq;
    const line = encodeRequest(seq, request);
    return new Promise((resolve, reject) => {
      const way = { resolve: resolve as (reply: unknown) => void, reject };
      start({ request, line, seq, attemptsLeft, patienceS, sentS: 0, isRepeated: false, ...way });
    });
  }

  #patienceS(): number {
    return Math.min(
      LONGEST_PATIENCE_S,
      Math.max(LEAST_PATIENCE_S, PATIENCE_OF_ROUND_TRIPS * this.#roundTripS),
    );
  }

  /** An answer to a repeated line tells nothing: it may belong to either copy (Karn's rule, RFC 6298, section 3). */
  #measureRoundTrip(errand: Errand): void {
    if (errand.isRepeated) return;
    const tripS = this.clock.nowS() - errand.sentS;
    this.#roundTripS += (tripS - this.#roundTripS) / (tripS > this.#roundTripS ? 2 : 8);
  }

  #next(): void {
    if (this.#current !== undefined || this.#urgent !== undefined) return;
    const errand = this.#waiting.shift();
    if (errand === undefined) return;
    if (this.#closedBy) {
      errand.reject(this.#closedBy);
      return;
    }
    this.#current = errand;
    this.#transmit(errand);
  }

  #transmit(errand: Errand): void {
    errand.attemptsLeft -= 1;
    this.counters.requests += 1;
    errand.sentS = this.clock.nowS();
    errand.timer = this.clock.after(errand.patienceS, () => this.#unanswered(errand));
    this.write(errand.line);
  }

  #unanswered(errand: Errand): void {
    if (errand.attemptsLeft > 0) {
      this.counters.retries += 1;
      errand.isRepeated = true;
      errand.patienceS = Math.min(LONGEST_PATIENCE_S, 2 * errand.patienceS);
      this.#transmit(errand);
      return;
    }
    this.counters.timeouts += 1;
    const waitedS = this.clock.nowS() - errand.sentS;
    const { unread, request } = errand;
    this.#finish(errand, () =>
      errand.reject(
        unread ?? new LinkError('reply-timeout', { path: this.path, request: request.verb, waitedS }),
      ),
    );
  }

  #refused(errand: Errand, line: Extract<Answer, { kind: 'refused' }>): void {
    // 10 to 19: a line was damaged on its way, nothing was read of it. Which line it was is not told, and rubbish
    // brings such refusals in numbers: the first one sends again at once, for more the patience decides.
    if (line.number < 20) {
      if (errand.isRepeated) return;
      errand.timer?.cancel();
      this.#unanswered(errand);
      return;
    }
    this.counters.refusals += 1;
    const details = {
      path: this.path,
      request: errand.request.verb,
      refusal: line.number,
      refusalDetail: line.detail,
      said: refusalSentence(line, errand.request),
    };
    this.#finish(errand, () => errand.reject(new LinkError('refused', details)));
  }

  #finish(errand: Errand, tell: () => void): void {
    errand.timer?.cancel();
    if (this.#urgent === errand) this.#urgent = undefined;
    if (this.#current === errand) this.#current = undefined;
    tell();
    this.#next();
  }
}

/** The protocol that the board speaks where it is another one, else what in its answer could not be read. */
function unreadAnswer(path: string, verb: Verb, words: readonly string[]): LinkError {
  const [first = ''] = words;
  if (verb === 'hello' && /^[0-9]{1,5}$/.test(first) && Number(first) !== PROTOCOL_VERSION)
    return otherProtocol(path, Number(first));
  const unread = unreadField(verb, words);
  const what = unread?.field.says.split(/[,:]/)[0] ?? 'answer';
  const said = `${what} ${unread?.word === undefined ? 'is missing' : JSON.stringify(unread.word.slice(0, LONGEST_SHOWN))}`;
  return new LinkError('answer-unread', { path, said: oneLine(said) });
}

export const otherProtocol = (path: string, protocol: number): LinkError =>
  new LinkError('protocol-version', {
    path,
    boardVersion: String(protocol),
    hostVersion: String(PROTOCOL_VERSION),
  });
