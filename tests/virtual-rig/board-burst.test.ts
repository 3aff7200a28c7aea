// Bursts of the shipped image: rate, place of the edge, and that every guard keeps watching meanwhile.

import { describe, expect, it } from 'vitest';
import { type Request, unpackSamples } from '../../firmware-protocol/index.js';
import { BoardDesk, cyclesToMs, PROMISED } from './board-desk.js';

/** The tests' own copy of what a burst promises. */
const SAMPLES = 384;
const SLOT_CYCLES = 340;

function readBurst(desk: BoardDesk): number[] {
  const samples: number[] = [];
  while (samples.length < SAMPLES) {
    const answer = desk.ask({ verb: 'burst-read', from: samples.length });
    if (answer.kind !== 'ok') throw new Error(`burst-read was refused with ${answer.number}`);
    samples.push(...unpackSamples(answer.words[0]!));
  }
  return samples;
}

function told(desk: BoardDesk) {
  const line = desk.lines.findLast((each) => each.kind === 'event' && each.event.name === 'burst');
  if (line?.kind !== 'event' || line.event.name !== 'burst') throw new Error('no burst was told');
  return line.event;
}

describe('a burst', () => {
  it.each([
    ['C', 2],
    ['AB', 3],
  ])('of %s takes each input at 15,000 or more a second, evenly, and loses none', (inputs, stepSlots) => {
    const taken: { cycle: number; input: number }[] = [];
    const desk = new BoardDesk({
      counts: (input, atS) => (input === 0 ? 512 : (Math.floor(atS * 1e6) + input) % 1000),
    });
    desk.must({ verb: 'burst', inputs, edge: 'now', before: 0 });
    desk.board.onSample = (cycle, input) => taken.push({ cycle, input });
    desk.runMs(40);
    const event = told(desk);
    expect(event).toMatchObject({ samples: SAMPLES, edgeAt: 0, slotCycles: SLOT_CYCLES, stepSlots });
    const perInputHz = PROMISED.clockHz / (SLOT_CYCLES * stepSlots);
    console.log(`board: burst of ${inputs}: ${perInputHz.toFixed(0)} samples a second and input`);
    expect(perInputHz).toBeGreaterThanOrEqual(15_000);
    const wanted = inputs === 'C' ? [4] : [1, 2];
    const ramp = readBurst(desk);
    // The reading is the time in microseconds: successive samples of one input differ by the step, within the jitter of an interrupt.
    const stepUs = (SLOT_CYCLES * stepSlots) / 16;
    for (let i = wanted.length; i < SAMPLES; i++) {
      const differenceUs = (ramp[i]! - ramp[i - wanted.length]! + 2000) % 1000;
      expect(Math.abs(differenceUs - stepUs), `sample ${i}`).toBeLessThan(20);
    }
    expect(taken.filter(({ input }) => wanted.includes(input)).length).toBeGreaterThanOrEqual(SAMPLES);
    const counters = desk.ask({ verb: 'counters' });
    if (counters.kind === 'ok') expect(counters.words.slice(2)).toEqual(['0', '0', '0']);
  });

  it.each(['throw', 'release'] as const)('at a %s has the edge where it says', (edge) => {
    for (const [inputs, before] of [
      ['M', 0],
      ['M', 200],
      ['MA', 101],
      ['BC', 320],
    ] as const) {
      let isThrown = false;
      const desk = new BoardDesk({ counts: (input) => (input === 0 ? 512 : 100) + (isThrown ? 50 : 0) });
      const watch = desk.board.onOutputWrite!;
      desk.board.onOutputWrite = (cycle, outputs) => {
        watch(cycle, outputs);
        isThrown = outputs.throwForward;
      };
      desk.runAliveMs(320);
      desk.must({ verb: 'arm' }, { verb: 'feed', feed: 'full' });
      const throwIt: Request = { verb: 'throw', position: 'forward', holdMs: 5000 };
      if (edge === 'release') desk.must(throwIt);
      desk.must({ verb: 'burst', inputs, edge, before });
      desk.runMs(40);
      desk.must(edge === 'throw' ? throwIt : { verb: 'release' });
      desk.runMs(40);
      const { edgeAt } = told(desk);
      const samples = readBurst(desk);
      // One less when a pair had to be completed.
      expect(before - edgeAt).toBeGreaterThanOrEqual(0);
      expect(before - edgeAt).toBeLessThanOrEqual(inputs.length - 1);
      const isOn = samples.map((count) => count % 100 === 50 || count === 562);
      const first = isOn.findIndex((on) => on === (edge === 'throw'));
      expect(first).toBe(edgeAt);
      expect(isOn.slice(edgeAt).every((on) => on === (edge === 'throw'))).toBe(true);
    }
  });

  it('leaves trip, stop loop, host silence and longest hold at work, and the clock exact', () => {
    const cases = [
      ['motor-over-current', 1],
      ['stop-input', 1],
      ['longest-hold', 100],
      ['host-silence', 250],
    ] as const;
    for (const [reason, withinMs] of cases) {
      let over = false;
      const desk = new BoardDesk({ counts: (input) => (input === 0 ? (over ? 1000 : 512) : 0) });
      desk.armAndThrow(reason === 'longest-hold' ? 100 : 10_000);
      const thrownAt = desk.changedAtCycle;
      // The edge never comes, so that the burst goes on.
      desk.must({ verb: 'burst', inputs: 'BC', edge: 'throw', before: 100 });
      const from = reason === 'longest-hold' ? thrownAt : desk.board.cycles;
      if (reason === 'motor-over-current') over = true;
      if (reason === 'stop-input') desk.board.setStopLoop(false);
      desk.runMs(withinMs + 5);
      expect(desk.on, reason).toBe(false);
      const tookMs = cyclesToMs(desk.changedAtCycle - from);
      console.log(`board: ${reason} in a burst: off after ${tookMs.toFixed(4)} ms`);
      expect(tookMs, reason).toBeLessThanOrEqual(withinMs);
      expect(desk.stops()).toEqual([reason]);
    }
  });

  it('does not disturb the millisecond, however many there are', () => {
    const desk = new BoardDesk();
    const boardMs = () => {
      const answer = desk.ask({ verb: 'alive' });
      return answer.kind === 'ok' ? Number(answer.words[0]) - desk.board.timeS * 1000 : Number.NaN;
    };
    const before = boardMs();
    for (let i = 0; i < 40; i++) {
      desk.must({ verb: 'burst', inputs: i % 2 ? 'M' : 'AB', edge: 'now', before: 0 });
      desk.runMs(25 + (i % 7) * 0.3);
    }
    expect(Math.abs(boardMs() - before)).toBeLessThan(1.2);
  });

  it('and a stream keep out of each other’s way', () => {
    const desk = new BoardDesk();
    desk.must({ verb: 'stream', stream: 'on' });
    expect(desk.outcome({ verb: 'burst', inputs: 'M', edge: 'now', before: 0 })).toBe('streaming');
    desk.must({ verb: 'stream', stream: 'off' }, { verb: 'burst', inputs: 'M', edge: 'throw', before: 0 });
    expect(desk.outcome({ verb: 'stream', stream: 'on' })).toBe('bursting');
    expect(desk.outcome({ verb: 'burst', inputs: 'M', edge: 'now', before: 0 })).toBe('bursting');
    expect(desk.outcome({ verb: 'burst-read', from: 0 })).toBe('no-burst');
    desk.must({ verb: 'burst-end' });
    desk.runMs(3);
    const from = desk.lines.length;
    desk.must({ verb: 'stream', stream: 'on' });
    desk.runMs(100);
    const numbers = desk.lines
      .slice(from)
      .flatMap((line) => (line.kind === 'frame' ? [line.frame.number] : []));
    expect(numbers.length).toBeGreaterThan(95);
    expect(numbers).toEqual(numbers.map((_, index) => index));
  });
});
