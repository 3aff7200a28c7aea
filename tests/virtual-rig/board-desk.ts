// A desk around one emulated board for tests: sends requests, collects lines, and watches what must never happen.

import {
  type BoardLine,
  createLineReader,
  decodeLine,
  encodeRequest,
  type Request,
} from '../../firmware-protocol/index.js';
import { type BoardOutputs, EmulatedBoard, rigImage } from '../../host/virtual-rig/board/index.js';

/** The tests' own copy of what the board promises. */
export const PROMISED = { clockHz: 16_000_000, silenceMs: 250, deadMs: 300, reactionMs: 1 } as const;
const image = rigImage();

export interface DeskOptions {
  /** Converter reading by input and time; mid-scale motor current and nothing else by default. */
  counts?: (input: number, atS: number) => number;
  eeprom?: Uint8Array;
  clockErrorPpm?: number;
}

export class BoardDesk {
  readonly board: EmulatedBoard;
  readonly lines: BoardLine[] = [];
  readonly breaches: string[] = [];
  outputs: BoardOutputs = {
    feedLimited: false,
    feedFull: false,
    throwForward: false,
    throwReverse: false,
    coilFull: false,
  };
  /** Cycle of the last write that changed an output. */
  changedAtCycle = 0;
  /** Cycle since which at least one output has been on. */
  onSinceCycle = 0;
  private throwOffAtCycle = Number.NEGATIVE_INFINITY;
  private seq = 0;
  deadMs: number = PROMISED.deadMs;

  constructor({ counts = (input) => (input === 0 ? 512 : 0), eeprom, clockErrorPpm }: DeskOptions = {}) {
    this.board = new EmulatedBoard({
      image,
      world: { outputsChanged: () => {}, adcCounts: counts },
      ...(eeprom && { eeprom }),
      ...(clockErrorPpm !== undefined && { clockErrorPpm }),
    });
    this.board.setStopLoop(true);
    this.board.onOutputWrite = (cycle, outputs) => this.watch(cycle, outputs);
    const reader = createLineReader((line) => this.lines.push(decodeLine(line)));
    this.board.onTransmit = (bytes) => reader.push(bytes);
    this.runMs(5);
  }

  get on(): boolean {
    return Object.values(this.outputs).some(Boolean);
  }

  runMs(durationMs: number): void {
    this.board.run(this.board.timeS + durationMs / 1000);
  }

  /** Runs on, sending a sign of life every 100 ms. */
  runAliveMs(durationMs: number): void {
    const until = this.board.timeS + durationMs / 1000;
    while (this.board.timeS < until) {
      this.ask({ verb: 'alive' });
      this.board.run(Math.min(until, this.board.timeS + 0.1));
    }
  }

  send(request: Request): number {
    this.seq = (this.seq + 1) & 255;
    this.board.receive(Buffer.from(encodeRequest(this.seq, request)));
    return this.seq;
  }

  /** Sends and waits for the answer. Throws when none comes within 30 ms. */
  ask(request: Request): Extract<BoardLine, { kind: 'ok' | 'refused' }> {
    const from = this.lines.length;
    const seq = this.send(request);
    for (let i = 0; i < 300; i++) {
      this.runMs(0.1);
      for (const line of this.lines.slice(from)) {
        if ((line.kind === 'ok' || line.kind === 'refused') && line.seq === seq) return line;
      }
    }
    throw new Error(`the board gave no answer to ${request.verb}`);
  }

  /** Asks for what must be granted. */
  must(...requests: Request[]): void {
    for (const request of requests) {
      const answer = this.ask(request);
      if (answer.kind !== 'ok') throw new Error(`${request.verb} was refused with ${answer.number}`);
    }
  }

  /** Name of the refusal, or `ok`. */
  outcome(request: Request): string {
    const answer = this.ask(request);
    return answer.kind === 'ok' ? 'ok' : (answer.refusal?.name ?? `number ${answer.number}`);
  }

  /** Armed and fed, with the dead time over. */
  makeReady(): void {
    this.runAliveMs(Math.max(PROMISED.deadMs, this.deadMs) + 10);
    this.must({ verb: 'arm' }, { verb: 'feed', feed: 'full' });
  }

  armAndThrow(holdMs = 10_000, position: 'forward' | 'reverse' = 'forward'): void {
    this.makeReady();
    this.must({ verb: 'throw', position, holdMs });
  }

  stops(): string[] {
    return this.lines.flatMap((line) =>
      line.kind === 'event' && line.event.name === 'stop' ? [line.event.stop] : [],
    );
  }

  private watch(cycle: number, outputs: BoardOutputs): void {
    if (outputs.throwForward && outputs.throwReverse) this.breaches.push(`both throws on at cycle ${cycle}`);
    if (outputs.feedLimited && outputs.feedFull) this.breaches.push(`both feeds on at cycle ${cycle}`);
    const thrown = this.outputs.throwForward || this.outputs.throwReverse;
    const throws = outputs.throwForward || outputs.throwReverse;
    if (thrown && throws && outputs.throwForward !== this.outputs.throwForward) {
      this.breaches.push(`reversed without a release at cycle ${cycle}`);
    }
    if (!thrown && throws) {
      const restMs = ((cycle - this.throwOffAtCycle) / PROMISED.clockHz) * 1000;
      if (restMs < this.deadMs) this.breaches.push(`thrown ${restMs} ms after a release at cycle ${cycle}`);
    }
    if (thrown && !throws) this.throwOffAtCycle = cycle;
    if (JSON.stringify(outputs) !== JSON.stringify(this.outputs)) this.changedAtCycle = cycle;
    const wasOn = this.on;
    this.outputs = { ...outputs };
    if (this.on && !wasOn) this.onSinceCycle = cycle;
  }
}

export const cyclesToMs = (cycles: number): number => (cycles / PROMISED.clockHz) * 1000;
