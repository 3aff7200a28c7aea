import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { crc16, crcDigits, hasValidCrc } from '../../firmware-protocol/index.js';

describe('CRC of a line', () => {
  it('gives 29B1 for the digits 1 to 9 (CRC RevEng catalogue, CRC-16/IBM-3740 alias CCITT-FALSE)', () => {
    expect(crc16('123456789')).toBe(0x29b1);
    expect(crcDigits('123456789')).toBe('29B1');
  });

  it('is the start value FFFF over nothing (same catalogue: init FFFF, xorout 0000)', () => {
    expect(crcDigits('')).toBe('FFFF');
  });

  it('agrees with polynomial division bit by bit (seed 1)', () => {
    fc.assert(
      fc.property(
        fc.string({ unit: fc.integer({ min: 0, max: 127 }).map((code) => String.fromCharCode(code)) }),
        (text) => {
          let register = 0xffff;
          for (const char of text) {
            for (let bit = 7; bit >= 0; bit--) {
              const top = ((register >> 15) & 1) ^ ((char.charCodeAt(0) >> bit) & 1);
              register = ((register << 1) & 0xffff) ^ (top ? 0x1021 : 0);
            }
          }
          expect(crc16(text)).toBe(register);
        },
      ),
      { seed: 1 },
    );
  });

  it('refuses a line with one or two flipped bits (seed 2; distance 4 of this polynomial at these lengths)', () => {
    const line = `>01 throw forward 500 ${crcDigits('>01 throw forward 500 ')}`;
    const flip = (text: string, bit: number) => {
      const at = Math.floor(bit / 8);
      return (
        text.slice(0, at) + String.fromCharCode(text.charCodeAt(at) ^ (1 << (bit % 8))) + text.slice(at + 1)
      );
    };
    const bit = fc.integer({ min: 0, max: line.length * 8 - 1 });
    expect(hasValidCrc(line)).toBe(true);
    fc.assert(
      fc.property(bit, bit, (one, other) => {
        expect(hasValidCrc(flip(line, one))).toBe(false);
        if (one !== other) expect(hasValidCrc(flip(flip(line, one), other))).toBe(false);
      }),
      { seed: 2, numRuns: 2000 },
    );
  });
});
