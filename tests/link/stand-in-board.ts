// A board of few lines for tests of the link: speaks the protocol, streams frames, stops on host silence. Not the
// firmware; what the firmware does is tested on the firmware.

import {
  BOARD,
  createLineReader,
  DEFAULT_SCAN,
  decodeRequest,
  encodeEvent,
  encodeOk,
  encodeRefusal,
  type Frame,
  packFrame,
  type Request,
} from '../../firmware-protocol/index.js';
import { VirtualClock } from '../../host/link/index.js';
import {
  type DeviceBinding,
  deviceBinding,
  Engine,
  type SerialDevice,
} from '../../host/virtual-rig/index.js';

export interface StandInOptions {
  protocol?: number;
  /** From opening to the banner: the boot loader's time. */
  bootS?: number;
  /** No banner, as a board whose banner was lost. */
  withoutBanner?: boolean;
  /** Opens and says nothing, ever. */
  isMute?: boolean;
  paced?: boolean;
  /** Confirms these and does nothing. */
  ignores?: readonly Request['verb'][];
  /** Refuses these with a number that nobody knows. */
  refuses?: readonly Request['verb'][];
  /** Between two frames, whatever it says. */
  frameS?: number;
  /** Changes what the board sends before it goes on the wire. */
  toHost?: (bytes: Uint8Array, atS: number) => Uint8Array[];
  /** Changes what the host sends before the board gets it. */
  toBoard?: (bytes: Uint8Array, atS: number) => Uint8Array[];
}

export class StandInBoard implements SerialDevice {
  readonly clock = new VirtualClock();
  readonly binding: DeviceBinding;
  readonly path = 'stand-in';
  readonly engine: Engine;
  options: StandInOptions;
  /** Requests carried out, in order. */
  readonly acted: string[] = [];
  /** When outputs went off because of host silence. */
  silenceStopS: number | undefined;
  opens = 0;
  #timeS = 0;
  #bootDoneS = 0;
  #lastLine = '';
  #lastAnswer = '';
  #heardS = 0;
  #nextFrameS = Number.POSITIVE_INFINITY;
  #frameNumber = 0;
  #changedAtSlot = 0;
  #lastPosition: Frame['position'] = 'rest';
  state = fresh();
  readonly #reader = createLineReader((line) => this.#take(line), BOARD.requestMaxBytes);
  /** Counts a slot, by board time; steady 512 unless told otherwise. */
  countAt: (letter: string, timeS: number) => number = () => 512;

  constructor(options: StandInOptions = {}) {
    this.options = options;
    this.binding = deviceBinding(this.path, this);
    this.engine = new Engine({ clock: this.clock, machine: this, paced: options.paced ?? false });
  }

  get port() {
    return { binding: this.binding, path: this.path };
  }

  opened(): void {
    this.opens += 1;
    this.engine.isPowered = true;
    this.reset();
  }

  closed(): void {
    this.engine.isPowered = false;
  }

  /** As a brown-out or the reset line does it: everything off and forgotten. */
  reset(): void {
    this.state = fresh();
    this.#reader.reset();
    this.#lastLine = '';
    this.#nextFrameS = Number.POSITIVE_INFINITY;
    this.#bootDoneS = this.#timeS + (this.options.bootS ?? 0.001);
  }

  receive(bytes: Uint8Array): void {
    if (this.#timeS < this.#bootDoneS) return;
    for (const part of this.options.toBoard?.(bytes, this.#timeS) ?? [bytes]) this.#reader.push(part);
  }

  run(untilS: number): void {
    if (this.#timeS < this.#bootDoneS && untilS >= this.#bootDoneS) {
      this.#heardS = this.#bootDoneS;
      if (!this.options.withoutBanner)
        this.send(encodeEvent('ready', this.options.protocol ?? 1, 'external'));
    }
    while (this.#nextFrameS <= untilS) this.#sendFrame();
    this.#timeS = untilS;
    if (this.state.mode === 'armed' && untilS - this.#heardS > BOARD.silenceMs / 1000) {
      this.silenceStopS = untilS;
      this.stop('host-silence');
    }
  }

  stop(reason: string, isToldAtOnce = true): void {
    Object.assign(this.state, { position: 'rest', feed: 'off', mode: 'stopped', stop: reason });
    if (isToldAtOnce) this.send(encodeEvent('stop', reason, Math.round(this.#timeS * 1000)));
  }

  send(line: string): void {
    if (this.options.isMute) return;
    const bytes = Buffer.from(line, 'latin1');
    for (const part of this.options.toHost?.(bytes, this.#timeS) ?? [bytes]) this.binding.transmit(part);
  }

  #sendFrame(): void {
    const atS = this.#nextFrameS - BOARD.frameUs / 1e6;
    const { position, feed, mode } = this.state;
    const slotS = BOARD.frameUs / 1e6 / BOARD.slotCount;
    const counts = Uint16Array.from(DEFAULT_SCAN, (letter, slot) => this.countAt(letter, atS + slot * slotS));
    const sinceSlot = position === this.#lastPosition ? 0 : this.#changedAtSlot;
    this.#lastPosition = position;
    this.send(`${packFrame({ number: this.#frameNumber, position, feed, mode, sinceSlot, counts })}\n`);
    this.#frameNumber = (this.#frameNumber + 1) % (1 << 18);
    this.#nextFrameS += this.options.frameS ?? BOARD.frameUs / 1e6;
  }

  #take(line: string): void {
    const decoded = decodeRequest(line);
    if (decoded === undefined) {
      this.send(encodeRefusal(undefined, line.startsWith('>') ? 12 : 11));
      return;
    }
    this.#heardS = this.#timeS;
    if (line !== this.#lastLine) this.#lastAnswer = this.#carryOut(decoded.seq, decoded.request);
    this.#lastLine = line;
    this.send(this.#lastAnswer);
  }

  #carryOut(seq: number, request: Request): string {
    const { state } = this;
    this.acted.push(request.verb);
    if (this.options.refuses?.includes(request.verb)) return encodeRefusal(seq, 77);
    if (this.options.ignores?.includes(request.verb)) return encodeOk(seq);
    switch (request.verb) {
      case 'hello':
        return encodeOk(seq, this.options.protocol ?? 1, '1.0.0', 'stand-in', 'bench-1', 'external');
      case 'constants':
        return encodeOk(seq, 16_000_000, 10, 1000, 18, 100, 300, 250, 60_000, 64);
      case 'scan':
        return encodeOk(seq, DEFAULT_SCAN);
      case 'limits':
        return encodeOk(seq, ...state.trip, state.deadMs);
      case 'counters':
        return encodeOk(seq, this.#frameNumber, 0, 0, 0, 0);
      case 'state':
        return encodeOk(
          seq,
          state.position,
          state.feed,
          state.mode,
          state.stop,
          'closed',
          Number.isFinite(this.#nextFrameS) ? 'on' : 'off',
          0,
          0,
          Math.round((this.#timeS - this.#bootDoneS) * 1000),
        );
      case 'alive':
        return encodeOk(seq, Math.round((this.#timeS - this.#bootDoneS) * 1000));
      case 'set-trip':
        state.trip = [request.motorCounts, request.feedCounts, request.samples];
        break;
      case 'set-dead':
        state.deadMs = request.deadMs;
        break;
      case 'arm':
        if (state.mode === 'stopped') return encodeRefusal(seq, 31, 4);
        state.mode = 'armed';
        break;
      case 'feed':
        if (state.mode !== 'armed') return encodeRefusal(seq, 30);
        state.feed = request.feed;
        break;
      case 'throw':
        if (state.mode !== 'armed') return encodeRefusal(seq, 30);
        if (state.position !== 'rest') return encodeRefusal(seq, 34);
        if (this.#timeS < state.throwableFromS) {
          return encodeRefusal(seq, 33, Math.ceil((state.throwableFromS - this.#timeS) * 1000));
        }
        state.position = request.position;
        break;
      case 'release':
      case 'off':
        if (state.position !== 'rest') state.throwableFromS = this.#timeS + state.deadMs / 1000;
        state.position = 'rest';
        if (request.verb === 'off')
          Object.assign(state, { feed: 'off', mode: state.mode === 'armed' ? 'idle' : state.mode });
        break;
      case 'clear':
        Object.assign(state, { mode: 'idle', stop: 'none' });
        break;
      case 'stream':
        if (request.stream === 'on') this.#frameNumber = 0;
        this.#nextFrameS =
          request.stream === 'on' ? this.#timeS + BOARD.frameUs / 1e6 : Number.POSITIVE_INFINITY;
        break;
      default:
        break;
    }
    return encodeOk(seq);
  }
}

const fresh = () => ({
  position: 'rest' as Frame['position'],
  feed: 'off' as Frame['feed'],
  mode: 'idle' as Frame['mode'],
  stop: 'none',
  deadMs: 300,
  trip: [256, 358, 3],
  throwableFromS: 0,
});
