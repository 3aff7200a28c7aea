import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  BOARD,
  createLineReader,
  decodeLine,
  decodeRequest,
  encodeEvent,
  encodeOk,
  encodeRefusal,
  encodeRequest,
  type Field,
  FRAME_CHARS,
  type Frame,
  IDENTIFY_LINE,
  type Message,
  packFrame,
  REFUSALS,
  REQUESTS,
  type Request,
  readReply,
  refusalSentence,
  STOP_REASONS,
  unpackFrame,
  type Verb,
} from '../../firmware-protocol/index.js';

const anyValueOf = (field: Field): fc.Arbitrary<string | number> => {
  if (field.kind === 'word') return fc.constantFrom(...field.words);
  if (field.kind === 'number') return fc.integer({ min: field.min, max: field.max });
  return fc.stringMatching(new RegExp(field.pattern)).filter((text) => text.length <= field.maxChars);
};
const anyRequest: fc.Arbitrary<Request> = fc
  .constantFrom(...(Object.keys(REQUESTS) as Verb[]))
  .chain((verb) => {
    const message: Message = REQUESTS[verb];
    return fc
      .record(Object.fromEntries(message.args.map((field) => [field.name, anyValueOf(field)])))
      .map((values) => ({ verb, ...values }) as unknown as Request);
  });
const anySeq = fc.integer({ min: 0, max: 255 });
const anyFrame: fc.Arbitrary<Frame> = fc.record({
  number: fc.integer({ min: 0, max: 262143 }),
  position: fc.constantFrom('rest' as const, 'forward' as const, 'reverse' as const),
  feed: fc.constantFrom('off' as const, 'limited' as const, 'full' as const),
  mode: fc.constantFrom('idle' as const, 'armed' as const, 'stopped' as const),
  sinceSlot: fc.integer({ min: 0, max: 17 }),
  counts: fc
    .array(fc.integer({ min: 0, max: 1023 }), { minLength: 18, maxLength: 18 })
    .map((counts) => Uint16Array.from(counts)),
});

describe('requests', () => {
  it('come back from their line as they were (seed 11)', () => {
    fc.assert(
      fc.property(anySeq, anyRequest, (seq, request) => {
        const line = encodeRequest(seq, request);
        expect(line.length).toBeLessThanOrEqual(BOARD.requestMaxBytes);
        expect(line).toMatch(/^>[0-9A-F]{2} [ -~]* [0-9A-F]{4}\n$/);
        expect(decodeRequest(line.slice(0, -1))).toEqual({ seq, request });
      }),
      { seed: 11, numRuns: 1000 },
    );
  });

  it('out of range are refused with name, value and what is allowed', () => {
    expect(() => encodeRequest(0, { verb: 'throw', position: 'forward', holdMs: 60_001 })).toThrow(
      'holdMs is 60001; allowed: whole number 1 to 60000 ms',
    );
    expect(() => encodeRequest(0, { verb: 'throw', position: 'rest' as 'forward', holdMs: 10 })).toThrow(
      'position is rest; allowed: forward, reverse',
    );
    expect(() => encodeRequest(0, { verb: 'throw', position: 'forward', holdMs: 1.5 })).toThrow(
      'holdMs is 1.5',
    );
    expect(() => encodeRequest(256, { verb: 'arm' })).toThrow('sequence number is 256; allowed: 0 to 255');
  });

  it('stand on the wire exactly like this', () => {
    // CRC values worked out with Python: binascii.crc_hqx(text, 0xFFFF).
    expect(encodeRequest(0x0a, { verb: 'throw', position: 'forward', holdMs: 1200 })).toBe(
      '>0A throw forward 1200 9536\n',
    );
    expect(encodeRequest(0, { verb: 'hello' })).toBe('>00 hello 0633\n');
    expect(IDENTIFY_LINE).toBe('*IDN?\n');
  });
});

describe('replies', () => {
  it('of every verb come back field by field (seed 12)', () => {
    for (const verb of Object.keys(REQUESTS) as Verb[]) {
      const message: Message = REQUESTS[verb];
      const fields = fc.record(
        Object.fromEntries(message.reply.map((field) => [field.name, anyValueOf(field)])),
      );
      fc.assert(
        fc.property(anySeq, fields, (seq, values) => {
          const line = encodeOk(seq, ...message.reply.map((field) => values[field.name]!));
          expect(line.length).toBeLessThanOrEqual(BOARD.boardLineMaxBytes);
          const decoded = decodeLine(line.slice(0, -1));
          expect(decoded).toMatchObject({ kind: 'ok', seq });
          if (decoded.kind === 'ok') expect(readReply(verb, decoded.words)).toEqual(values);
        }),
        { seed: 12 },
      );
    }
  });

  it('with appended fields are still read, with missing ones are not', () => {
    expect(readReply('alive', ['12', 'new'])).toEqual({ boardMs: 12 });
    expect(readReply('alive', [])).toBeUndefined();
    expect(readReply('alive', ['-1'])).toBeUndefined();
  });

  it('that refuse carry a number with a sentence', () => {
    for (const refusal of REFUSALS) {
      const line = decodeLine(encodeRefusal(7, refusal.number, 3).trimEnd());
      expect(line).toEqual({ kind: 'refused', seq: 7, number: refusal.number, detail: 3, refusal });
      if (line.kind === 'refused') expect(refusalSentence(line)).toContain(refusal.sentence);
    }
    expect(new Set(REFUSALS.map((refusal) => refusal.number)).size).toBe(REFUSALS.length);
    const request: Request = { verb: 'throw', position: 'forward', holdMs: 1 };
    const line = decodeLine(encodeRefusal(7, 22, 2).trimEnd());
    if (line.kind === 'refused') {
      expect(refusalSentence(line, request)).toBe(
        'an argument is not one of the allowed words or numbers (holdMs: whole number 1 to 60000 ms)',
      );
    }
    expect(decodeLine(encodeRefusal(undefined, 12).trimEnd())).toMatchObject({
      kind: 'refused',
      seq: undefined,
      number: 12,
    });
    expect(decodeLine(encodeRefusal(7, 99).trimEnd())).toMatchObject({ kind: 'refused', refusal: undefined });
  });
});

describe('what the board says by itself', () => {
  it('is read for every stop reason', () => {
    for (const { name } of STOP_REASONS) {
      expect(decodeLine(encodeEvent('stop', name, 42).trimEnd())).toEqual({
        kind: 'event',
        event: { name: 'stop', stop: name, boardMs: 42 },
      });
    }
    expect(decodeLine(encodeEvent('ready', 1, 'power-on').trimEnd())).toMatchObject({ kind: 'event' });
    expect(decodeLine(encodeEvent('toString').trimEnd())).toEqual({ kind: 'rubbish', why: 'form' });
  });

  it('identifies itself with four fields (IEEE 488.2, *IDN?)', () => {
    expect(decodeLine('Throwbench,reference-rig,bench-1,1.0.0\r')).toEqual({
      kind: 'identity',
      fields: ['Throwbench', 'reference-rig', 'bench-1', '1.0.0'],
    });
    expect(decodeLine('a,b,c').kind).toBe('rubbish');
  });
});

describe('frames', () => {
  it('come back as they were (seed 13)', () => {
    fc.assert(
      fc.property(anyFrame, (frame) => {
        const line = packFrame(frame);
        expect(line).toMatch(/^~[0-o]{35}[0-9A-F]{4}$/);
        expect(line.length).toBe(FRAME_CHARS);
        expect(decodeLine(line)).toEqual({ kind: 'frame', frame });
      }),
      { seed: 13, numRuns: 1000 },
    );
  });

  it('fit with their newline into 82 % of the line at 500 kBd', () => {
    expect(FRAME_CHARS + 1).toBe(41);
    expect(((FRAME_CHARS + 1) * 10 * 1000) / BOARD.baud).toBeCloseTo(0.82, 9);
  });

  it('with any byte damaged are refused (seed 14)', () => {
    fc.assert(
      fc.property(anyFrame, fc.nat(39), fc.integer({ min: 1, max: 127 }), (frame, at, change) => {
        const line = packFrame(frame);
        const damaged =
          line.slice(0, at) + String.fromCharCode(line.charCodeAt(at) ^ change) + line.slice(at + 1);
        expect(unpackFrame(damaged)).toBeUndefined();
      }),
      { seed: 14, numRuns: 1000 },
    );
  });
});

describe('line reader', () => {
  const good = [encodeOk(1), encodeEvent('stop', 'stop-input', 5), encodeOk(2, 77)];

  it('finds whole lines however the bytes are cut (seed 15)', () => {
    const bytes = Buffer.from(good.join(''));
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 1, max: 20 }), { minLength: 1 }), (cuts) => {
        const lines: string[] = [];
        const reader = createLineReader((line) => lines.push(line));
        for (let at = 0, cut = 0; at < bytes.length; cut++) {
          const length = cuts[cut % cuts.length]!;
          reader.push(bytes.subarray(at, at + length));
          at += length;
        }
        expect(lines).toEqual(good.map((line) => line.trimEnd()));
      }),
      { seed: 15 },
    );
  });

  it('is back in step after any rubbish and one newline (seed 16)', () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 1000 }), (rubbish) => {
        const lines: string[] = [];
        const reader = createLineReader((line) => lines.push(line));
        reader.push(rubbish);
        reader.push(Buffer.from(`\n${good.join('')}`));
        expect(lines.slice(-3)).toEqual(good.map((line) => line.trimEnd()));
        for (const line of lines.slice(0, -3))
          expect(line.length).toBeLessThanOrEqual(BOARD.boardLineMaxBytes);
      }),
      { seed: 16, numRuns: 300 },
    );
  });

  it('never takes random lines for messages (seed 17)', () => {
    fc.assert(
      fc.property(fc.string({ maxLength: 60 }), (text) => {
        const line = decodeLine(text);
        expect(['rubbish', 'identity']).toContain(line.kind);
      }),
      { seed: 17, numRuns: 2000 },
    );
  });
});
