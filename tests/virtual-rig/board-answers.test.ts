// What the shipped image answers: identity, refusals by number, repeated lines, rig id, scan list, frames. And the image's reader.

import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { encodeRequest, type Frame, REFUSALS, sealLine } from '../../firmware-protocol/index.js';
import { EmulatedBoard, readIntelHex, rigImage } from '../../host/virtual-rig/board/index.js';
import { BoardDesk } from './board-desk.js';

const frames = (desk: BoardDesk): Frame[] =>
  desk.lines.flatMap((line) => (line.kind === 'frame' ? [line.frame] : []));

/** Sends a line as it is and gives what comes back first. */
function reply(desk: BoardDesk, line: string) {
  const from = desk.lines.length;
  desk.board.receive(Buffer.from(line));
  desk.runMs(20);
  return desk.lines[from];
}

describe('identity', () => {
  it('is four comma-separated fields for a bare *IDN? (IEEE 488.2), without and with carriage return', () => {
    for (const line of ['*IDN?\n', '*IDN?\r\n']) {
      expect(reply(new BoardDesk(), line)).toEqual({
        kind: 'identity',
        fields: ['Throwbench', 'reference-rig', 'unnamed', expect.stringMatching(/^[0-9]+\.[0-9]+\.[0-9]+$/)],
      });
    }
  });

  it('keeps the rig id in EEPROM through resets and a change of the board’s power, and forgets a damaged one', () => {
    const eeprom = new Uint8Array(1024).fill(0xff);
    const desk = new BoardDesk({ eeprom });
    desk.must({ verb: 'set-rig', rigId: 'bench.North-2_a' });
    desk.runMs(200);
    desk.board.reset();
    desk.runMs(5);
    const hello = (each: BoardDesk) => {
      const answer = each.ask({ verb: 'hello' });
      return answer.kind === 'ok' ? answer.words.slice(2, 5) : [];
    };
    expect(hello(desk)).toEqual(['reference-rig', 'bench.North-2_a', 'external']);
    expect(hello(new BoardDesk({ eeprom }))).toEqual(['reference-rig', 'bench.North-2_a', 'power-on']);
    eeprom[3]! ^= 0x01;
    expect(hello(new BoardDesk({ eeprom }))[1]).toBe('unnamed');
  });
});

describe('refusals', () => {
  const cases: [name: string, line: string, detail: number, prepare?: (desk: BoardDesk) => void][] = [
    ['line-too-long', `${'x'.repeat(64)}\n`, 64],
    ['malformed', 'short\n', 0],
    ['malformed', sealLine('<01 alive'), 0],
    ['malformed', sealLine('>1 alive'), 0],
    ['malformed', sealLine('>01  alive'), 0],
    ['wrong-crc', '>01 alive 0000\n', 0],
    ['wrong-crc', encodeRequest(1, { verb: 'arm' }).toLowerCase(), 0],
    ['unknown-verb', sealLine('>01 fire'), 0],
    ['argument-count', sealLine('>01 throw forward'), 2],
    ['argument-count', sealLine('>01 arm now'), 0],
    ['argument-value', sealLine('>01 throw rest 100'), 1],
    ['argument-value', sealLine('>01 throw forward 0'), 2],
    ['argument-value', sealLine('>01 throw forward 60001'), 2],
    ['argument-value', sealLine('>01 throw forward 0100'), 2],
    ['argument-value', sealLine('>01 throw forward 65636'), 2],
    ['argument-value', sealLine('>01 set-trip 512 1 1'), 1],
    ['argument-value', sealLine('>01 set-trip 1 1 256'), 3],
    ['argument-value', sealLine('>01 set-dead 10001'), 1],
    ['argument-value', sealLine('>01 set-scan MMMMMMMMMMMMMMMMMM'), 1],
    ['argument-value', sealLine('>01 set-scan MABFMABCMABSMABMA'), 1],
    ['argument-value', sealLine('>01 set-rig seventeen-letters'), 1],
    ['argument-value', sealLine('>01 burst MABF now 0'), 1],
    ['argument-value', sealLine('>01 burst-read 1'), 1],
    ['not-armed', sealLine('>01 feed full'), 0],
    ['stopped', sealLine('>01 arm'), 7, (desk) => desk.must({ verb: 'stop' })],
    ['stop-loop-open', sealLine('>01 arm'), 0, (desk) => desk.board.setStopLoop(false)],
    ['already-thrown', sealLine('>01 throw reverse 5'), 0, (desk) => desk.armAndThrow()],
    ['not-idle', sealLine('>01 set-trip 1 1 1'), 0, (desk) => desk.must({ verb: 'arm' })],
    [
      'streaming',
      sealLine('>01 set-scan MABFMABCMABSMABMAB'),
      0,
      (desk) => desk.must({ verb: 'stream', stream: 'on' }),
    ],
    [
      'bursting',
      sealLine('>01 stream on'),
      0,
      (desk) => desk.must({ verb: 'burst', inputs: 'M', edge: 'throw', before: 0 }),
    ],
    ['no-burst', sealLine('>01 burst-read 0'), 0],
    ['feed-live', sealLine('>01 arm'), 0, (desk) => desk.board.setFeedBus(true)],
  ];

  it.each(cases)('%s: %j', (name, line, detail, prepare) => {
    const desk = new BoardDesk();
    prepare?.(desk);
    const before = desk.outputs;
    const from = desk.lines.length;
    desk.board.receive(Buffer.from(line));
    desk.runMs(20);
    const refused = desk.lines.slice(from).filter((each) => each.kind === 'refused');
    expect(refused).toEqual([
      expect.objectContaining({ detail, refusal: REFUSALS.find((refusal) => refusal.name === name) }),
    ]);
    expect(desk.outputs).toEqual(before);
  });

  it('are all tried here, the dead time apart, which has its own test', () => {
    expect([...new Set(cases.map(([name]) => name)), 'dead-time'].sort()).toEqual(
      REFUSALS.map((refusal) => refusal.name).sort(),
    );
  });
});

describe('a line that comes twice', () => {
  it('is answered twice and carried out once', () => {
    const desk = new BoardDesk();
    desk.runAliveMs(320);
    desk.must({ verb: 'arm' });
    const line = encodeRequest(200, { verb: 'throw', position: 'forward', holdMs: 3000 });
    const from = desk.lines.length;
    desk.board.receive(Buffer.from(line + line));
    desk.runMs(20);
    expect(desk.lines.slice(from)).toEqual([
      { kind: 'ok', seq: 200, words: [] },
      { kind: 'ok', seq: 200, words: [] },
    ]);
    desk.must({ verb: 'release' });
    expect(reply(desk, line)).toMatchObject({ kind: 'refused', number: 33 });
    expect(desk.breaches).toEqual([]);
  });
});

describe('the stream', () => {
  it('loses no frame to the longest answers, asked as often as a host does', () => {
    const desk = new BoardDesk();
    // Board time of five digits and more is the slowest to write.
    desk.runAliveMs(11_000);
    desk.armAndThrow(60_000);
    desk.must({ verb: 'stream', stream: 'on' });
    for (let n = 0; n < 20; n++) {
      desk.must({ verb: 'state' });
      desk.runMs(30);
    }
    const counters = desk.ask({ verb: 'counters' });
    expect(counters.kind === 'ok' && counters.words[1]).toBe('0');
  });

  it('samples each slot’s input, in the order of the scan list, at even times', () => {
    const desk = new BoardDesk({ counts: (input) => (input === 0 ? 512 : 100 * input) });
    const held: { cycle: number; input: number }[] = [];
    for (const scan of ['MABFMABCMABSMABMAB', 'CABCABCMCABCABFSCB']) {
      desk.must({ verb: 'set-scan', scan }, { verb: 'stream', stream: 'on' });
      held.length = 0;
      desk.board.onSample = (cycle, input) => held.push({ cycle, input });
      const from = frames(desk).length;
      desk.runMs(100);
      const seen = frames(desk).slice(from);
      expect(seen.length).toBeGreaterThan(95);
      const wanted = [...scan].map((letter) => [512, 100, 200, 300, 400, 500]['MABFCS'.indexOf(letter)]!);
      for (const frame of seen.slice(1)) expect([...frame.counts]).toEqual(wanted);
      for (let i = 1; i < held.length; i++) {
        // 16,000 cycles in 18 slots; a start may wait for an interrupt under way or the converter's clock.
        expect(Math.abs(held[i]!.cycle - held[0]!.cycle - (i * 16_000) / 18)).toBeLessThan(160);
      }
      desk.must({ verb: 'stream', stream: 'off' });
    }
  });

  it('tells in which slot a throw and a release came', () => {
    // Lead A reads high while forward is thrown, so the samples themselves show the moment.
    let isThrown = false;
    const desk = new BoardDesk({ counts: (input) => (input === 0 ? 512 : isThrown ? 900 : 100) });
    const watch = desk.board.onOutputWrite!;
    desk.board.onOutputWrite = (cycle, outputs) => {
      watch(cycle, outputs);
      isThrown = outputs.throwForward;
    };
    desk.must({ verb: 'set-trip', motorCounts: 480, feedCounts: 990, samples: 9 });
    const slots = new Set<number>();
    for (let round = 0; round < 8; round++) {
      desk.makeReady();
      desk.must({ verb: 'stream', stream: 'on' });
      desk.runMs(3 + round * 0.13);
      const from = frames(desk).length;
      desk.must({ verb: 'throw', position: 'forward', holdMs: 1000 });
      desk.runMs(5);
      desk.must({ verb: 'release' });
      desk.runMs(5);
      desk.must({ verb: 'stream', stream: 'off' });
      const seen = frames(desk).slice(from);
      let position = 'rest';
      for (const frame of seen) {
        for (let slot = 0; slot < 18; slot++) {
          if (slot === frame.sinceSlot) position = frame.position;
          if ('MABFMABCMABSMABMAB'[slot] !== 'M')
            expect(frame.counts[slot]).toBe(position === 'forward' ? 900 : 100);
        }
        if (frame.sinceSlot > 0) slots.add(frame.sinceSlot);
      }
      expect(seen.some((frame) => frame.position === 'forward')).toBe(true);
      expect(seen.at(-1)!.position).toBe('rest');
      desk.must({ verb: 'off' });
    }
    expect(slots.size).toBeGreaterThan(3);
  });

  it('goes by the board’s own clock', () => {
    for (const clockErrorPpm of [-5000, 5000]) {
      const desk = new BoardDesk({ clockErrorPpm });
      desk.must({ verb: 'stream', stream: 'on' });
      desk.runMs(5);
      const from = frames(desk).at(-1)!.number;
      desk.runAliveMs(2000);
      const seenMs = frames(desk).at(-1)!.number - from;
      expect(Math.abs(seenMs - 2000 * (1 + clockErrorPpm * 1e-6))).toBeLessThan(3);
    }
  });
});

describe('the image', () => {
  const hex = rigImage();

  it('fits into 16 KiB and is read the same from text and bytes', () => {
    const bytes = readIntelHex(hex);
    expect(bytes.findLastIndex((byte) => byte !== 0xff)).toBeLessThan(16_384);
    const world = { outputsChanged: () => {}, adcCounts: () => 512 };
    const sent = [hex, bytes].map((image) => {
      const board = new EmulatedBoard({ image, world });
      let text = '';
      board.onTransmit = (chunk) => {
        text += Buffer.from(chunk).toString('latin1');
      };
      board.run(0.01);
      return text;
    });
    expect(sent[0]).toMatch(/^!ready 1 power-on [0-9A-F]{4}\n$/);
    expect(sent[1]).toBe(sent[0]);
  });

  it('is refused when damaged, with the line', () => {
    const lines = hex.split('\n');
    const change = (index: number, text: string) => lines.with(index, text).join('\n');
    const third = lines[2]!;
    expect(() =>
      readIntelHex(
        change(
          2,
          third.replace(/.\r?$/, (digit) => (digit.startsWith('0') ? '1' : '0')),
        ),
      ),
    ).toThrow('firmware image, line 3: its checksum does not match');
    expect(() => readIntelHex(change(2, third.slice(0, 20)))).toThrow('line 3');
    expect(() => readIntelHex(change(2, 'hello'))).toThrow('line 3: not an Intel HEX record');
    expect(() => readIntelHex(lines.slice(0, 10).join('\n'))).toThrow('the end record is missing');
  });

  it('is the one that the repository ships', () => {
    expect(hex).toBe(
      readFileSync(new URL('../../firmware-protocol/firmware/throwbench-rig.hex', import.meta.url), 'utf8'),
    );
  });
});

describe('bytes lost on the way in', () => {
  it('never make a request of what was none: the cut-off head of a line, or a newline that is gone', () => {
    // Far more than the board's buffer holds, while its answers hold it up: bytes must be lost, at every phase of the pattern.
    for (let shift = 0; shift < 60; shift++) {
      const desk = new BoardDesk();
      desk.must({ verb: 'stream', stream: 'on' });
      const hidden = `${' '.repeat(3 + (shift % 17))}${encodeRequest(5, { verb: 'arm' })}`;
      const line = `${encodeRequest(4, { verb: 'constants' })}${encodeRequest(4, { verb: 'state' })}`;
      desk.board.receive(Buffer.from(`${'\n'.repeat(shift)}${`${line}${hidden}`.repeat(60)}\n`));
      desk.runMs(400);
      desk.board.receive(Buffer.from('\n'));
      desk.runMs(300);
      const counters = desk.ask({ verb: 'counters' });
      // At the least: a full ring stops the hearing, and the receiver tells a stretch of lost bytes once.
      if (counters.kind === 'ok') expect(Number(counters.words[3])).toBeGreaterThan(5);
      expect(desk.outcome({ verb: 'throw', position: 'forward', holdMs: 100 }), `shift ${shift}`).toBe(
        'not-armed',
      );
      expect(desk.lines.some((each) => each.kind === 'ok' && each.seq === 5 && each.words.length === 0)).toBe(
        false,
      );
    }
  });
});
