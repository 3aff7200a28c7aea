// The link to one rig: closed, opening, settling, ready or lost. Bytes and messages only; what they mean in amperes
// and volts is the rig driver's matter.

import {
  type BoardEvent,
  type BoardLine,
  decodeLine,
  type Frame,
  PROTOCOL_VERSION,
  type ReplyOf,
  type Request,
  type StopName,
} from '../../firmware-protocol/index.js';
import { known } from '../fields/index.js';
import type { Clock } from './clock.js';
import { decodeTail } from './decode-tail.js';
import { FrameOrder } from './frame-order.js';
import { type BoardFacts, greet } from './handshake.js';
import { Heartbeat } from './heartbeat.js';
import type { LinePort, PortChoice } from './line-port.js';
import { LineTrace } from './line-trace.js';
import { createLinkCounters, type LinkCounters } from './link-counters.js';
import { LinkError } from './link-error.js';
import { openPatiently } from './open-patiently.js';
import { RequestDesk, type RequestOptions } from './request-desk.js';

/** Frames may wait so long in a port before they are read. */
const LONGEST_BEHIND_S = 1;

export type LinkState = 'closed' | 'opening' | 'settling' | 'ready' | 'lost';

export type LinkEvent =
  | { kind: 'state'; state: LinkState }
  /** `index` counts frames since the stream began, lost ones included; `lost` are missing right before this one. */
  | { kind: 'frame'; frame: Frame; index: number; lost: number }
  | { kind: 'burst'; done: Extract<BoardEvent, { name: 'burst' }> }
  | { kind: 'stopped'; stop: Exclude<StopName, 'none'> }
  /** The last event of a link that was not closed on purpose. */
  | { kind: 'lost'; error: LinkError };

export interface LinkOptions {
  port: PortChoice;
  clock: Clock;
  /** How long a port held by another program is tried again; a new port is probed for about 10 s on some Linuxes. */
  busyPatienceS?: number;
  /** Told once when a busy port makes the opening wait. */
  onWaiting?: (error: LinkError) => void;
  trace?: LineTrace;
}

export class Link {
  readonly counters: LinkCounters = createLinkCounters();
  readonly trace: LineTrace;
  #state: LinkState = 'closed';
  #port: LinePort | undefined;
  #desk: RequestDesk | undefined;
  #heartbeat: Heartbeat | undefined;
  #facts: BoardFacts | undefined;
  #boardMs = 0;
  /** Newest frame since the last beat. */
  #lastFrame: Frame | undefined;
  /** When the newest frame was read, or the stream asked for. */
  #frameS = 0;
  #toldStop: StopName = 'none';
  #validLines = 0;
  #bannerProtocol: number | undefined;
  /** Grows with every attempt: what an earlier port object still says is not listened to. */
  #attempt = 0;
  readonly #order = new FrameOrder();
  readonly #listeners = new Set<(event: LinkEvent) => void>();

  constructor(readonly options: LinkOptions) {
    this.trace = options.trace ?? new LineTrace();
  }

  get state(): LinkState {
    return this.#state;
  }

  /** What the board said of itself; only while ready or after a loss. */
  get facts(): BoardFacts {
    if (this.#facts === undefined)
      throw new Error(`link to ${this.options.port.path} has no facts before open()`);
    return this.#facts;
  }

  onEvent(listener: (event: LinkEvent) => void): () => void {
    this.#listeners.add(listener);
    return () => this.#listeners.delete(listener);
  }

  /** From closed or lost to ready; rejects with a LinkError, then the link is closed and nothing is left open. */
  async open(): Promise<BoardFacts> {
    if (this.#state !== 'closed' && this.#state !== 'lost') {
      throw new Error(`open() while the link is ${this.#state}; close it first`);
    }
    const attempt = ++this.#attempt;
    this.#go('opening');
    try {
      this.#port = await this.#openPort(attempt);
      if (attempt !== this.#attempt) throw await this.#abandon(this.#port);
      this.#go('settling');
      this.#facts = await this.#settle(this.#port);
      this.#toldStop = 'none';
      this.#go('ready');
      this.#heartbeat = new Heartbeat(this.options.clock, {
        beat: () => this.#beat(),
        onSilence: (silenceS) => {
          this.counters.longestSilenceMs = Math.max(
            this.counters.longestSilenceMs,
            Math.round(silenceS * 1000),
          );
        },
        onLoss: (silenceS) => {
          const said = `no valid answer for ${Math.round(silenceS * 1000)} ms`;
          this.#lose(new LinkError('link-lost', { path: this.path, said }));
        },
      });
      return this.#facts;
    } catch (error) {
      if (attempt === this.#attempt)
        await this.#shut('closed', new LinkError('cancelled', { path: this.path }));
      throw error;
    }
  }

  get path(): string {
    return this.options.port.path;
  }

  /** Sends again until answered; rejects with a LinkError. */
  request<R extends Request>(request: R, options?: RequestOptions): Promise<ReplyOf<R['verb']>> {
    if (this.#desk === undefined || this.#state !== 'ready') return Promise.reject(this.#notReady());
    if (request.verb === 'stream' && request.stream === 'on') {
      this.#order.restart();
      this.#frameS = this.options.clock.nowS();
    }
    if (request.verb === 'clear') this.#toldStop = 'none';
    return this.#desk.send(request, options);
  }

  /** On the wire before this returns, in any state that has a port; whatever else waits is cancelled. */
  requestAtOnce<R extends Request>(request: R, options?: RequestOptions): Promise<ReplyOf<R['verb']>> {
    if (this.#desk === undefined) return Promise.reject(this.#notReady());
    return this.#desk.sendUrgent(request, options);
  }

  /** While outputs may be on or samples come. A virtual clock stands still for an idle link. */
  set isWatching(watching: boolean) {
    if (this.#heartbeat) this.#heartbeat.isWatching = watching;
  }

  async close(): Promise<void> {
    if (this.#state === 'closed') return;
    this.#attempt += 1;
    await this.#shut('closed', new LinkError('cancelled', { path: this.path }));
  }

  #openPort(attempt: number): Promise<LinePort> {
    const isCurrent = (): boolean => attempt === this.#attempt;
    const { clock, port, busyPatienceS, onWaiting } = this.options;
    return openPatiently({
      port,
      clock,
      events: {
        onLine: (line) => {
          if (isCurrent()) this.#hear(line);
        },
        onEnd: (error) => {
          if (isCurrent()) this.#lose(error);
        },
      },
      isWanted: isCurrent,
      onAttempt: () => {
        this.counters.attempts += 1;
      },
      onFailure: (error) => this.#remark(`open failed: ${error.message}`),
      ...known({ busyPatienceS, onWaiting }),
    });
  }

  async #settle(port: LinePort): Promise<BoardFacts> {
    const { clock } = this.options;
    if (port.endedBy !== undefined) throw port.endedBy;
    this.#validLines = 0;
    this.#bannerProtocol = undefined;
    this.#boardMs = 0;
    const linesBefore = this.counters.linesIn;
    const strayBefore = this.counters.strayReplies;
    const desk = new RequestDesk(
      clock,
      this.counters,
      (line) => {
        this.trace.add(clock.nowS(), '>', line.trimEnd());
        port.write(line);
        this.counters.bytesOut = port.bytesOut;
      },
      this.path,
    );
    this.#desk = desk;
    // Ends whatever half line the board has begun to collect.
    port.write('\n');
    return greet({
      desk,
      clock,
      path: this.path,
      seen: () => ({
        valid: this.#validLines,
        all: this.counters.linesIn - linesBefore + port.overlongLines,
        late: this.counters.strayReplies - strayBefore,
        protocol: this.#bannerProtocol,
      }),
    });
  }

  #hear(text: string): void {
    if (text === '') return;
    let line = decodeLine(text);
    this.counters.linesIn += 1;
    this.trace.add(this.options.clock.nowS(), '<', text, line.kind === 'frame');
    if (line.kind === 'rubbish') {
      if (line.why === 'crc') this.counters.crcErrors += 1;
      else this.counters.malformedLines += 1;
      line = decodeTail(text);
    }
    if (this.#port) {
      this.counters.bytesIn = this.#port.bytesIn;
      this.counters.overlongLines = this.#port.overlongLines;
    }
    if (line.kind === 'rubbish') return;
    this.#validLines += 1;
    this.#heartbeat?.heardLine();
    this.#take(line);
  }

  #take(line: Exclude<BoardLine, { kind: 'rubbish' }>): void {
    if (line.kind === 'frame') this.#takeFrame(line.frame);
    else if (line.kind === 'ok' || line.kind === 'refused') {
      this.#heartbeat?.heardReply();
      this.#desk?.answer(line);
    } else if (line.kind === 'event' && line.event.name === 'stop') this.#tellStop(line.event.stop);
    else if (line.kind === 'event' && line.event.name === 'burst')
      this.#tell({ kind: 'burst', done: line.event });
    else if (line.kind === 'event' && line.event.name === 'ready') {
      this.#bannerProtocol = line.event.protocol;
      if (this.#state === 'ready') this.#restarted(line.event.resetCause);
      else if (line.event.protocol === PROTOCOL_VERSION) this.#desk?.nudge();
    }
  }

  #takeFrame(frame: Frame): void {
    if (this.#state !== 'ready') return;
    const place = this.#order.place(frame.number);
    if (place === undefined) {
      this.counters.framesRepeated += 1;
      return;
    }
    // Numbers that run ahead of any clock are none: what they leave out was never sampled.
    const nowS = this.options.clock.nowS();
    const lostS = (place.lost * this.facts.constants.frameUs) / 1e6;
    if (lostS > nowS - this.#frameS + LONGEST_BEHIND_S) {
      this.#lose(new LinkError('link-lost', { path: this.path, said: 'its frame numbers jump' }));
      return;
    }
    this.#frameS = nowS;
    this.counters.framesIn += 1;
    this.#lastFrame = frame;
    this.counters.framesLost += place.lost;
    this.#tell({ kind: 'frame', frame, ...place });
  }

  /**
   * Shows the host to the board. Frames tell position and mode themselves, and their line is nearly full, so a short
   * question is enough while they come; otherwise, or when they show a stop nobody has told of, the state is asked.
   */
  #beat(): void {
    const frame = this.#lastFrame;
    this.#lastFrame = undefined;
    const isStopTold = frame?.mode !== 'stopped' || this.#toldStop !== 'none';
    if (frame !== undefined && isStopTold) {
      this.#desk?.probe({ verb: 'alive' }, ({ boardMs }) => this.#checkBoardClock(boardMs));
      return;
    }
    this.#desk?.probe({ verb: 'state' }, ({ boardMs, stop }) => {
      this.#checkBoardClock(boardMs);
      this.#tellStop(stop);
    });
  }

  /** Back in time means restarted, with the word of it lost. Half the range apart is a wrap. */
  #checkBoardClock(boardMs: number): void {
    if (this.#state !== 'ready') return;
    if (boardMs < this.#boardMs && this.#boardMs - boardMs < 2 ** 31) this.#restarted('unknown');
    this.#boardMs = boardMs;
  }

  #tellStop(stop: StopName): void {
    if (stop === 'none' || stop === this.#toldStop || this.#state !== 'ready') return;
    this.#toldStop = stop;
    this.#tell({ kind: 'stopped', stop });
  }

  /** A restart in mid-run: outputs are off, settings and stream are gone. */
  #restarted(cause: string): void {
    if (cause === 'watchdog') this.#tellStop('watchdog');
    const said = `the board restarted by itself${cause === 'unknown' ? '' : `, cause ${cause}`}`;
    this.#lose(new LinkError('link-lost', { path: this.path, said }));
  }

  #lose(error: LinkError): void {
    if (this.#state === 'closed' || this.#state === 'lost' || this.#state === 'opening') return;
    this.#remark(error.message);
    const wasReady = this.#state === 'ready';
    this.#attempt += wasReady ? 1 : 0;
    // The way to the board may still work: better told than left to its own silence.
    if (wasReady) this.#desk?.partWith({ verb: 'off' });
    void this.#shut(wasReady ? 'lost' : this.#state, error);
    if (wasReady) this.#tell({ kind: 'lost', error });
  }

  async #shut(state: LinkState, error: LinkError): Promise<void> {
    const port = this.#port;
    this.#port = undefined;
    this.#heartbeat?.stop();
    this.#heartbeat = undefined;
    this.#desk?.close(error);
    this.#desk = undefined;
    if (this.#state !== state) this.#go(state);
    await port?.close();
  }

  async #abandon(port: LinePort): Promise<LinkError> {
    this.#port = undefined;
    await port.close();
    return new LinkError('cancelled', { path: this.path });
  }

  #notReady(): LinkError {
    return new LinkError(this.#state === 'lost' ? 'link-lost' : 'cancelled', { path: this.path });
  }

  #go(state: LinkState): void {
    this.#state = state;
    this.#remark(`link ${state}`);
    this.#tell({ kind: 'state', state });
  }

  #remark(words: string): void {
    this.trace.add(this.options.clock.nowS(), '!', words);
  }

  #tell(event: LinkEvent): void {
    for (const listener of this.#listeners) listener(event);
  }
}
