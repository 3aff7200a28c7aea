// Noise on the line, in every state that the board can be in: it never restarts the board, never switches anything on,
// never hides a stop, and never passes for the host. Seeds are fixed and printed.

import { describe, expect, it } from 'vitest';
import type { Request } from '../../firmware-protocol/index.js';
import { BoardDesk, cyclesToMs, PROMISED } from './board-desk.js';

const NEWLINE = 0x0a;
const FLOODS = Number(process.env.THROWBENCH_FUZZ_FLOODS ?? 4);
const FLOOD_BYTES = 2000;
const SEED = 77;
const TIMEOUT_MS = 60_000 + FLOODS * 20_000;

/** What the noise is made of; the worst keeps the receiver busy and never ends a line. */
const KINDS = {
  'without newline': (random: number) => (random === NEWLINE ? 0x0b : random),
  'of any bytes': (random: number) => random,
  'of zeros': () => 0,
  'of newlines': () => NEWLINE,
  'of any bytes without a stop bit': (random: number) => random,
  'of the beginnings of requests': (random: number) => (random % 9 === 0 ? 0x3e : 0x20 + (random % 95)),
} as const;

interface State {
  ready(desk: BoardDesk): void;
  /** Reason that is to be latched when the noise is over and the silence after it. */
  endsWith: string;
  motorCounts?: number;
}

const THROW = { verb: 'throw', position: 'forward', holdMs: 60_000 } as const;
const burst = (edge: 'now' | 'throw' | 'release', inputs = 'MA'): Request => ({
  verb: 'burst',
  inputs,
  edge,
  before: 320,
});

/** Every state of the board by name. A burst quickens the sampling, which leaves the main loop the least time. */
const STATES: Record<string, State> = {
  idle: { ready: () => {}, endsWith: 'none' },
  'idle with a burst that waits for a throw': {
    ready: (desk) => desk.must(burst('throw')),
    endsWith: 'none',
  },
  'idle with a burst of one input that waits': {
    ready: (desk) => desk.must(burst('release', 'A')),
    endsWith: 'none',
  },
  'idle with a burst done and not read': {
    ready: (desk) => {
      desk.must(burst('now'));
      desk.runMs(20);
    },
    endsWith: 'none',
  },
  'idle and streaming': { ready: (desk) => desk.must({ verb: 'stream', stream: 'on' }), endsWith: 'none' },
  armed: {
    ready: (desk) => {
      desk.runAliveMs(310);
      desk.must({ verb: 'arm' }, { verb: 'coil', coil: 'full' });
    },
    endsWith: 'host-silence',
  },
  'armed with a burst that waits': {
    ready: (desk) => {
      desk.makeReady();
      desk.must(burst('throw'));
    },
    endsWith: 'host-silence',
  },
  'just thrown, with a burst under way': {
    ready: (desk) => {
      desk.makeReady();
      desk.must(burst('throw'), THROW);
    },
    endsWith: 'host-silence',
  },
  'held, with a burst that waits for the release': {
    ready: (desk) => {
      desk.armAndThrow(60_000);
      desk.runAliveMs(200);
      desk.must(burst('release'));
    },
    endsWith: 'host-silence',
  },
  'held and streaming': {
    ready: (desk) => {
      desk.armAndThrow(60_000);
      desk.must({ verb: 'stream', stream: 'on' });
      desk.runAliveMs(200);
    },
    endsWith: 'host-silence',
  },
  'held to the end of its longest hold': {
    ready: (desk) => {
      desk.armAndThrow(100);
    },
    endsWith: 'longest-hold',
  },
  'released, within the dead time': {
    ready: (desk) => {
      desk.armAndThrow(60_000);
      desk.must({ verb: 'release' });
    },
    endsWith: 'host-silence',
  },
  'tripped and streaming': {
    ready: (desk) => {
      desk.makeReady();
      desk.must({ verb: 'stream', stream: 'on' });
      desk.runMs(10);
    },
    endsWith: 'motor-over-current',
    motorCounts: 1000,
  },
  'stopped by the host, with a burst that waits': {
    ready: (desk) => {
      desk.must({ verb: 'stop' }, burst('throw'));
    },
    endsWith: 'host-request',
  },
};

function noise(seed: number, kind: keyof typeof KINDS): Uint8Array {
  let state = seed;
  return Uint8Array.from({ length: FLOOD_BYTES }, () => {
    state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0;
    return KINDS[kind](state >>> 24);
  });
}

const isFramed = (kind: keyof typeof KINDS): boolean => kind !== 'of any bytes without a stop bit';

describe(`a flood of ${FLOOD_BYTES} bytes at full line rate, ${FLOODS} of each kind (seed ${SEED})`, () => {
  it.each(Object.entries(STATES))(
    'meets a board that is %s',
    (name, { ready, endsWith, motorCounts }) => {
      let floods = 0;
      for (const kind of Object.keys(KINDS) as (keyof typeof KINDS)[]) {
        for (let n = 0; n < FLOODS; n++) {
          const told = `${name}, ${kind}, flood ${n}`;
          let isOver = false;
          const counts = (input: number) => (input === 0 ? (isOver ? (motorCounts ?? 512) : 512) : 0);
          const desk = new BoardDesk({ counts });
          ready(desk);
          isOver = true;
          const wasOn = { ...desk.outputs };
          const resets: string[] = [];
          desk.board.onReset = (cause) => resets.push(cause);
          const watch = desk.board.onOutputWrite;
          desk.board.onOutputWrite = (cycle, outputs) => {
            watch?.(cycle, outputs);
            for (const pin of Object.keys(outputs) as (keyof typeof outputs)[])
              if (outputs[pin] && !wasOn[pin]) desk.breaches.push(`${pin} came on`);
          };
          const from = desk.board.cycles;
          desk.board.receive(noise(SEED + 1000 * n, kind), isFramed(kind));
          desk.runMs(PROMISED.silenceMs + 60);
          expect(resets, told).toEqual([]);
          expect(desk.breaches, told).toEqual([]);
          expect(desk.on, told).toBe(false);
          if (desk.changedAtCycle > from)
            expect(cyclesToMs(desk.changedAtCycle - from), told).toBeLessThanOrEqual(PROMISED.silenceMs);
          desk.board.receive(Uint8Array.of(NEWLINE));
          desk.runMs(5);
          const state = desk.ask({ verb: 'state' });
          expect(state.kind === 'ok' && state.words[3], told).toBe(endsWith);
          floods++;
        }
      }
      console.log(`board: ${name}: ${floods} floods without a restart`);
    },
    TIMEOUT_MS,
  );

  it.each(Object.entries(STATES).filter(([, { endsWith }]) => endsWith === 'host-silence'))(
    'hides no opening of the stop loop from a board that is %s',
    (name, { ready }) => {
      for (const kind of Object.keys(KINDS) as (keyof typeof KINDS)[]) {
        const told = `${name}, ${kind}`;
        const desk = new BoardDesk();
        ready(desk);
        const wasOn = desk.on;
        desk.board.receive(noise(SEED, kind), isFramed(kind));
        desk.runMs(20);
        expect(desk.on, told).toBe(wasOn);
        const openedAt = desk.board.cycles;
        desk.board.setStopLoop(false);
        desk.runMs(1.5);
        expect(desk.on, told).toBe(false);
        if (wasOn)
          expect(cyclesToMs(desk.changedAtCycle - openedAt), told).toBeLessThanOrEqual(PROMISED.reactionMs);
        desk.runMs(30);
        expect(desk.stops(), told).toEqual(['stop-input']);
      }
    },
    TIMEOUT_MS,
  );
});
