import { describe, expect, it } from 'vitest';
import { byteAt, itemAt, lastOf, sampleAt, wholeAt, wordAt } from '../../host/arrays/index.js';

describe('items by index', () => {
  it('gives what is there, zero, null, empty text and a lost sample included', () => {
    expect(itemAt([1, 0], 1)).toBe(0);
    expect(itemAt(['', null], 0)).toBe('');
    expect(itemAt(['', null], 1)).toBeNull();
    expect(sampleAt(Float64Array.of(1, Number.NaN), 1)).toBeNaN();
    expect(wholeAt(Int32Array.of(-7), 0)).toBe(-7);
    expect(byteAt(Uint8Array.of(255), 0)).toBe(255);
    expect(wordAt(Uint16Array.of(65535), 0)).toBe(65535);
    expect(lastOf([3, 4])).toBe(4);
  });

  it('names index and length where there is nothing', () => {
    expect(() => itemAt([1], 1)).toThrow(new RangeError('no item 1 among 1'));
    expect(() => itemAt([1], -1)).toThrow('no item -1 among 1');
    expect(() => sampleAt(new Float64Array(2), 2)).toThrow('no item 2 among 2');
    expect(() => wholeAt(new Int32Array(0), 0)).toThrow('no item 0 among 0');
    expect(() => wordAt(new Uint16Array(1), 2)).toThrow('no item 2 among 1');
    expect(() => byteAt(new Uint8Array(1), 1.5)).toThrow('no item 1.5 among 1');
    expect(() => lastOf([])).toThrow('no item -1 among 0');
  });
});
