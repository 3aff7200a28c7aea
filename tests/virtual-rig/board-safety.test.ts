// What the shipped image promises whatever the host says, proven on its machine code. Latencies are printed in cycles of 16 MHz.

import { describe, expect, it } from 'vitest';
import { sealLine } from '../../firmware-protocol/index.js';
import { BoardDesk, cyclesToMs, PROMISED } from './board-desk.js';

const THROW = { verb: 'throw', position: 'forward', holdMs: 10_000 } as const;
const print = (what: string, cycles: number) =>
  console.log(`board: ${what}: ${cycles} cycles = ${cyclesToMs(cycles).toFixed(4)} ms`);

describe('outputs at reset', () => {
  it('are driven low within the first 20 cycles, before anything else runs', () => {
    const desk = new BoardDesk();
    const start = desk.board.cycles;
    const writes: number[] = [];
    desk.board.onOutputWrite = (cycle, outputs) => {
      if (Object.values(outputs).some(Boolean)) desk.breaches.push('high at reset');
      writes.push(cycle - start);
    };
    desk.board.reset();
    desk.runMs(1);
    print('outputs driven low after reset', writes[2]!);
    expect(writes.length).toBeGreaterThanOrEqual(3);
    expect(writes[2]).toBeLessThan(20);
    expect(desk.breaches).toEqual([]);
  });

  it('go off at once when the board is reset in mid-throw, and stay off for a second of asking', () => {
    const desk = new BoardDesk();
    desk.armAndThrow();
    expect(desk.outputs).toEqual({
      feedLimited: false,
      feedFull: true,
      throwForward: true,
      throwReverse: false,
      coilFull: false,
    });
    desk.board.reset();
    expect(desk.on).toBe(false);
    desk.runMs(5);
    for (let i = 0; i < 10; i++) {
      expect(desk.outcome(THROW)).toBe('not-armed');
      expect(desk.outcome({ verb: 'feed', feed: 'limited' })).toBe('not-armed');
      desk.runMs(100);
      expect(desk.on).toBe(false);
    }
    expect(desk.breaches).toEqual([]);
  });

  it('cannot be thrown again before the dead time has passed since the reset', () => {
    const desk = new BoardDesk();
    desk.armAndThrow();
    desk.board.reset();
    desk.runMs(5);
    desk.must({ verb: 'arm' });
    expect(desk.outcome(THROW)).toBe('dead-time');
    desk.runAliveMs(PROMISED.deadMs);
    expect(desk.outcome(THROW)).toBe('ok');
    expect(desk.breaches).toEqual([]);
  });
});

describe('arming', () => {
  it('is needed for every throw and feed', () => {
    const desk = new BoardDesk();
    desk.runAliveMs(400);
    for (const position of ['forward', 'reverse'] as const) {
      expect(desk.outcome({ verb: 'throw', position, holdMs: 100 })).toBe('not-armed');
    }
    for (const feed of ['limited', 'full'] as const)
      expect(desk.outcome({ verb: 'feed', feed })).toBe('not-armed');
    expect(desk.outcome({ verb: 'feed', feed: 'off' })).toBe('ok');
    expect(desk.on).toBe(false);
  });

  it('drives exactly the pins asked for', () => {
    const desk = new BoardDesk();
    desk.armAndThrow(10_000, 'reverse');
    expect(desk.outputs).toEqual({
      feedLimited: false,
      feedFull: true,
      throwForward: false,
      throwReverse: true,
      coilFull: false,
    });
    desk.must({ verb: 'feed', feed: 'limited' });
    expect(desk.outputs).toEqual({
      feedLimited: true,
      feedFull: false,
      throwForward: false,
      throwReverse: true,
      coilFull: false,
    });
    desk.must({ verb: 'coil', coil: 'full' }, { verb: 'release' });
    expect(desk.outputs).toEqual({
      feedLimited: true,
      feedFull: false,
      throwForward: false,
      throwReverse: false,
      coilFull: true,
    });
    desk.must({ verb: 'coil', coil: 'limited' });
    expect(desk.outputs.coilFull).toBe(false);
    desk.must({ verb: 'coil', coil: 'full' }, { verb: 'off' });
    expect(desk.on).toBe(false);
    expect(desk.outcome({ verb: 'coil', coil: 'full' })).toBe('not-armed');
    expect(desk.outcome({ verb: 'coil', coil: 'limited' })).toBe('ok');
    expect(desk.outcome(THROW)).toBe('not-armed');
    expect(desk.breaches).toEqual([]);
  });

  it('is refused while the stop loop is open and while a stop is latched', () => {
    const desk = new BoardDesk();
    desk.board.setStopLoop(false);
    expect(desk.outcome({ verb: 'arm' })).toBe('stop-loop-open');
    desk.board.setStopLoop(true);
    desk.must({ verb: 'stop' });
    expect(desk.outcome({ verb: 'arm' })).toBe('stopped');
    desk.must({ verb: 'clear' }, { verb: 'arm' });
  });
});

describe('the sense of the feed bus', () => {
  it('refuses to arm while the feed has voltage that nobody switched on, and says so in the state', () => {
    const desk = new BoardDesk();
    const bus = () => {
      const state = desk.ask({ verb: 'state' });
      return state.kind === 'ok' ? state.words[9] : undefined;
    };
    expect(bus()).toBe('dead');
    desk.board.setFeedBus(true);
    expect(bus()).toBe('live');
    expect(desk.outcome({ verb: 'arm' })).toBe('feed-live');
    expect(desk.outcome({ verb: 'feed', feed: 'limited' })).toBe('not-armed');
    expect(desk.on).toBe(false);
    desk.board.setFeedBus(false);
    desk.must({ verb: 'arm' }, { verb: 'feed', feed: 'limited' });
    // Live because it is on: no reason against anything.
    desk.board.setFeedBus(true);
    desk.must({ verb: 'arm' }, { verb: 'feed', feed: 'full' });
    expect(desk.breaches).toEqual([]);
  });

  it('leaves a rig without it as it was: the pin is pulled up, and the bus always dead', () => {
    const desk = new BoardDesk();
    desk.makeReady();
    expect(desk.ask({ verb: 'state' })).toMatchObject({ words: expect.arrayContaining(['full', 'dead']) });
  });
});

describe('throws', () => {
  it('are refused while another is held', () => {
    const desk = new BoardDesk();
    desk.armAndThrow();
    for (const position of ['forward', 'reverse'] as const) {
      expect(desk.outcome({ verb: 'throw', position, holdMs: 100 })).toBe('already-thrown');
    }
    expect(desk.outputs.throwForward).toBe(true);
    expect(desk.breaches).toEqual([]);
  });

  it.each([
    ['the same way', 'forward'],
    ['the other way', 'reverse'],
  ] as const)('wait out the dead time after a release before going %s', (_, position) => {
    for (const deadMs of [100, 300, 450]) {
      const desk = new BoardDesk();
      desk.must({ verb: 'set-dead', deadMs });
      desk.deadMs = deadMs;
      desk.armAndThrow();
      desk.must({ verb: 'release' });
      const releasedAt = desk.changedAtCycle;
      let refusals = 0;
      for (let i = 0; i < 5000 && desk.outcome({ verb: 'throw', position, holdMs: 500 }) === 'dead-time'; i++)
        refusals++;
      const waited = desk.changedAtCycle - releasedAt;
      print(`dead time of ${deadMs} ms, asked ${refusals} times in vain`, waited);
      expect(refusals).toBeGreaterThan(20);
      expect(cyclesToMs(waited)).toBeGreaterThanOrEqual(deadMs);
      expect(cyclesToMs(waited)).toBeLessThan(deadMs + 5);
      expect(desk.breaches).toEqual([]);
    }
  });

  it('cannot be given a dead time below the floor of 100 ms', () => {
    const desk = new BoardDesk();
    // Encoded by hand, because the host's own encoder refuses it first.
    desk.board.receive(Buffer.from('>F0 set-dead 99 0CF2\n'));
    desk.runMs(5);
    expect(desk.lines.at(-1)).toMatchObject({ kind: 'refused', seq: 0xf0, number: 22, detail: 1 });
  });

  it('end by themselves when held for the longest hold that was asked for', () => {
    for (const holdMs of [1, 20, 1234]) {
      const desk = new BoardDesk();
      desk.runAliveMs(400);
      desk.must({ verb: 'arm' }, { verb: 'feed', feed: 'full' });
      desk.send({ verb: 'throw', position: 'forward', holdMs });
      for (let i = 0; i < 1000 && !desk.outputs.throwForward; i++) desk.runMs(0.02);
      const thrownAt = desk.changedAtCycle;
      desk.runAliveMs(holdMs + 20);
      const held = desk.changedAtCycle - thrownAt;
      print(`longest hold of ${holdMs} ms`, held);
      expect(desk.on).toBe(false);
      expect(cyclesToMs(held)).toBeLessThanOrEqual(holdMs);
      expect(cyclesToMs(held)).toBeGreaterThan(holdMs - 1.01);
      expect(desk.stops()).toEqual(['longest-hold']);
    }
  });
});

describe('a silent host', () => {
  it('turns everything off within 250 ms of its last valid line', () => {
    for (const offsetMs of [0, 0.3, 0.6, 0.9]) {
      const desk = new BoardDesk();
      desk.runMs(offsetMs);
      desk.armAndThrow();
      desk.must({ verb: 'alive' });
      const heardBefore = desk.board.cycles;
      desk.runMs(260);
      const silence = desk.changedAtCycle - heardBefore;
      print('outputs off after the answer to the last line', silence);
      expect(desk.on).toBe(false);
      expect(cyclesToMs(silence)).toBeLessThanOrEqual(PROMISED.silenceMs);
      expect(cyclesToMs(silence)).toBeGreaterThan(PROMISED.silenceMs - 5);
      expect(desk.stops()).toEqual(['host-silence']);
    }
  });

  it('is not hidden by rubbish, wrong checksums or the bare identification query', () => {
    const desk = new BoardDesk();
    desk.armAndThrow();
    const from = desk.board.cycles;
    for (let i = 0; i < 60; i++) {
      desk.board.receive(Buffer.from('>01 alive 0000\n*IDN?\n\u0000\u00ff~~~\n'));
      desk.runMs(5);
    }
    expect(desk.on).toBe(false);
    expect(cyclesToMs(desk.changedAtCycle - from)).toBeLessThanOrEqual(PROMISED.silenceMs);
  });

  it('ends the stream too, so that the next program meets a quiet board', () => {
    const desk = new BoardDesk();
    desk.must({ verb: 'stream', stream: 'on' });
    desk.runMs(300);
    const before = desk.lines.length;
    expect(before).toBeGreaterThan(200);
    desk.runMs(100);
    expect(desk.lines.length).toBe(before);
  });
});

describe('over-current', () => {
  it.each([
    ['motor current forward', 0, 512 + 300, 'motor-over-current', 5],
    ['motor current reverse', 0, 512 - 300, 'motor-over-current', 5],
    ['feed current', 3, 700, 'feed-over-current', 1],
  ] as const)(
    'in the %s turns everything off within 1 ms of the sample that trips',
    (_, input, high, reason, perFrame) => {
      for (const samples of [1, 3, 10]) {
        let over = false;
        const desk = new BoardDesk({
          counts: (channel) => (channel === input && over ? high : channel === 0 ? 512 : 0),
        });
        desk.must({ verb: 'set-trip', motorCounts: 300, feedCounts: 700, samples });
        desk.armAndThrow();
        let seen = 0;
        let trippedAt = 0;
        desk.board.onSample = (cycle, channel) => {
          if (channel === input && over && ++seen === samples) trippedAt = cycle;
        };
        over = true;
        const from = desk.board.cycles;
        desk.runMs((samples / perFrame) * 1 + 3);
        expect(desk.on).toBe(false);
        print(
          `${reason} with ${samples} samples: from the sample that trips`,
          desk.changedAtCycle - trippedAt,
        );
        expect(desk.changedAtCycle).toBeGreaterThan(trippedAt);
        expect(cyclesToMs(desk.changedAtCycle - trippedAt)).toBeLessThanOrEqual(PROMISED.reactionMs);
        expect(cyclesToMs(desk.changedAtCycle - from)).toBeLessThan(samples / perFrame + 2);
        expect(desk.stops()).toEqual([reason]);
      }
    },
  );

  it('below the limit, or for fewer samples than set, does not stop', () => {
    let counts = 512 + 299;
    const desk = new BoardDesk({ counts: (channel) => (channel === 0 ? counts : 0) });
    desk.must({ verb: 'set-trip', motorCounts: 300, feedCounts: 700, samples: 3 });
    desk.armAndThrow();
    desk.runAliveMs(50);
    expect(desk.on).toBe(true);
    // Two samples over, one below, again and again.
    let n = 0;
    desk.board.onSample = (_, channel) => {
      if (channel === 0) counts = ++n % 3 === 2 ? 512 : 1023;
    };
    desk.runAliveMs(50);
    expect(desk.on).toBe(true);
    expect(desk.stops()).toEqual([]);
  });

  // An amplifier reaches to within 0.1 V of its 5 V rails (RIG.md, section 4): 20.5 counts from either end.
  it.each([
    ['the motor amplifier at its upper rail', 0, 1003],
    ['the motor amplifier at its lower rail', 0, 20],
    ['the feed amplifier at its upper rail', 3, 1003],
  ] as const)('is seen with the widest limits that can be set, %s', (_, input, rail) => {
    let isOver = false;
    const desk = new BoardDesk({
      counts: (channel) => (channel === input && isOver ? rail : channel === 0 ? 512 : 102),
    });
    desk.must({ verb: 'set-trip', motorCounts: 480, feedCounts: 990, samples: 20 });
    // The scan list that looks at both currents least often: once a millisecond each.
    desk.must({ verb: 'set-scan', scan: 'MFABABABABABABABAB' });
    desk.armAndThrow();
    const from = desk.board.cycles;
    isOver = true;
    desk.runMs(30);
    expect(desk.on).toBe(false);
    print('outputs off after the current rose, 20 samples of one a millisecond', desk.changedAtCycle - from);
    expect(cyclesToMs(desk.changedAtCycle - from)).toBeLessThanOrEqual(21);
  });

  it.each([
    ['beyond what the motor amplifier can show', '481 900 3', 1],
    ['beyond what the feed amplifier can show', '400 991 3', 2],
    ['for longer than 20 ms', '400 900 21', 3],
  ])('cannot be waited for %s', (_, words, argument) => {
    const desk = new BoardDesk();
    const before = desk.ask({ verb: 'limits' });
    desk.board.receive(Buffer.from(sealLine(`>F0 set-trip ${words}`)));
    desk.runMs(5);
    expect(desk.lines.at(-1)).toMatchObject({ kind: 'refused', number: 22, detail: argument });
    expect(desk.ask({ verb: 'limits' })).toMatchObject({ words: before.kind === 'ok' ? before.words : [] });
  });

  it('guards before the host has set any limit', () => {
    const desk = new BoardDesk({ counts: () => 1023 });
    desk.runAliveMs(400);
    desk.must({ verb: 'arm' });
    desk.runMs(10);
    expect(desk.stops()).toEqual(['motor-over-current']);
  });
});

describe("the coils' straight feed", () => {
  it.each<[string, (desk: BoardDesk) => void]>([
    ['a request', (desk) => desk.must({ verb: 'stop' })],
    ['the stop loop', (desk) => desk.board.setStopLoop(false)],
    ['a reset', (desk) => desk.board.reset()],
    ['a stall', (desk) => desk.board.stallMainLoop()],
    ['silence', () => {}],
  ])('goes back to its limiter with all the rest: %s', (_, end) => {
    const desk = new BoardDesk();
    desk.runAliveMs(310);
    desk.must({ verb: 'arm' }, { verb: 'coil', coil: 'full' });
    expect(desk.outputs.coilFull).toBe(true);
    end(desk);
    desk.runMs(PROMISED.silenceMs);
    expect(desk.on).toBe(false);
    desk.runMs(100);
    expect(desk.outcome({ verb: 'coil', coil: 'full' })).not.toBe('ok');
    expect(desk.breaches).toEqual([]);
  });

  it('is told by state, and the hardware by its straps', () => {
    const desk = new BoardDesk();
    const last = (verb: 'state' | 'hello') => {
      const answer = desk.ask({ verb });
      return answer.kind === 'ok' ? answer.words.at(-1) : undefined;
    };
    expect(last('state')).toBe('limited');
    desk.must({ verb: 'arm' }, { verb: 'coil', coil: 'full' });
    expect(last('state')).toBe('full');
    // Of a world without the sense that came with revision 2.
    expect(last('hello')).toBe('1');
  });
});

describe('the stop loop', () => {
  it('turns everything off within 1 ms of opening, at any moment of a frame', () => {
    for (let sixteenth = 0; sixteenth < 16; sixteenth++) {
      const desk = new BoardDesk();
      desk.armAndThrow();
      desk.runMs(1 + sixteenth / 16);
      const openedAt = desk.board.cycles;
      desk.board.setStopLoop(false);
      desk.runMs(2);
      if (sixteenth % 5 === 0) print('stop loop opened', desk.changedAtCycle - openedAt);
      expect(desk.on).toBe(false);
      expect(cyclesToMs(desk.changedAtCycle - openedAt)).toBeLessThanOrEqual(PROMISED.reactionMs);
      expect(desk.stops()).toEqual(['stop-input']);
      expect(desk.outcome({ verb: 'clear' })).toBe('stop-loop-open');
      desk.board.setStopLoop(true);
      desk.must({ verb: 'clear' });
    }
  });
});

describe('the watchdog', () => {
  it('resets a board whose main loop stands still, and the reason is latched', () => {
    const desk = new BoardDesk();
    desk.armAndThrow();
    const stalledAt = desk.board.cycles;
    desk.board.stallMainLoop();
    desk.runMs(60);
    print('outputs off after the main loop stalled', desk.changedAtCycle - stalledAt);
    expect(desk.on).toBe(false);
    expect(cyclesToMs(desk.changedAtCycle - stalledAt)).toBeLessThan(50);
    expect(desk.stops()).toEqual(['watchdog']);
    expect(desk.outcome({ verb: 'arm' })).toBe('stopped');
    desk.must({ verb: 'clear' });
    desk.armAndThrow();
    desk.runAliveMs(500);
    expect(desk.on).toBe(true);
  });

  it('resets a board whose sampling has died, although the main loop still answers', () => {
    const TIMSK1 = 0x6f;
    const desk = new BoardDesk();
    desk.armAndThrow();
    const diedAt = desk.board.cycles;
    // The timer's interrupt switched off, as a stray write would.
    (desk.board as unknown as { cpu: { writeData(address: number, value: number): void } }).cpu.writeData(
      TIMSK1,
      0,
    );
    for (let i = 0; i < 12; i++) {
      desk.send({ verb: 'alive' });
      desk.runMs(5);
    }
    print('outputs off after the sampling died', desk.changedAtCycle - diedAt);
    expect(desk.on).toBe(false);
    expect(cyclesToMs(desk.changedAtCycle - diedAt)).toBeLessThan(50);
    expect(desk.stops()).toEqual(['watchdog']);
  });
});

describe('the first stop reason', () => {
  it('stays until it is cleared', () => {
    const desk = new BoardDesk();
    desk.armAndThrow();
    desk.must({ verb: 'stop' });
    desk.board.setStopLoop(false);
    desk.runMs(300);
    desk.must({ verb: 'stop' });
    expect(desk.stops()).toEqual(['host-request']);
    const state = desk.ask({ verb: 'state' });
    expect(state).toMatchObject({ kind: 'ok' });
    if (state.kind === 'ok')
      expect(state.words.slice(0, 5)).toEqual(['rest', 'off', 'stopped', 'host-request', 'open']);
  });

  it('is told by the clear that forgets it, once more when the same line comes again, then none', () => {
    const desk = new BoardDesk();
    desk.armAndThrow(50);
    desk.runMs(60);
    const line = sealLine('>F0 clear');
    for (let n = 0; n < 2; n++) {
      desk.board.receive(Buffer.from(line));
      desk.runMs(5);
      expect(desk.lines.at(-1)).toMatchObject({ kind: 'ok', seq: 0xf0, words: ['longest-hold'] });
    }
    expect(desk.ask({ verb: 'clear' })).toMatchObject({ words: ['none'] });
  });

  it('is told by the clear although the stop came while the clear was on its way', () => {
    const desk = new BoardDesk();
    desk.armAndThrow();
    // The state that a host reads before it clears: nothing latched.
    expect(desk.ask({ verb: 'state' })).toMatchObject({ words: expect.arrayContaining(['none']) });
    desk.board.setStopLoop(false);
    desk.runMs(1);
    desk.board.setStopLoop(true);
    expect(desk.ask({ verb: 'clear' })).toMatchObject({ words: ['stop-input'] });
  });

  it('outlives a restart by the watchdog, and a cleared one does not come back', () => {
    const desk = new BoardDesk();
    desk.must({ verb: 'stop' });
    desk.board.stallMainLoop();
    desk.runMs(60);
    expect(desk.ask({ verb: 'state' })).toMatchObject({ words: expect.arrayContaining(['host-request']) });
    expect(desk.ask({ verb: 'hello' })).toMatchObject({ words: expect.arrayContaining(['watchdog']) });
    desk.must({ verb: 'clear' });
    desk.board.stallMainLoop();
    desk.runMs(60);
    expect(desk.ask({ verb: 'clear' })).toMatchObject({ words: ['watchdog'] });
    desk.board.reset();
    desk.runMs(5);
    expect(desk.ask({ verb: 'clear' })).toMatchObject({ words: ['none'] });
  });

  it('is told after a restart by the reset pin, latches nothing, and is forgotten at the next', () => {
    const desk = new BoardDesk();
    const earlier = () => {
      const hello = desk.ask({ verb: 'hello' });
      return hello.kind === 'ok' ? hello.words[5] : undefined;
    };
    expect(earlier()).toBe('none');
    desk.armAndThrow(50);
    desk.runMs(60);
    for (const told of ['longest-hold', 'none']) {
      desk.board.reset();
      desk.runMs(5);
      expect(earlier()).toBe(told);
      desk.must({ verb: 'arm' }, { verb: 'off' });
    }
    desk.must({ verb: 'stop' });
    desk.board.reset('power-on');
    desk.runMs(5);
    expect(earlier()).toBe('none');
  });
});
