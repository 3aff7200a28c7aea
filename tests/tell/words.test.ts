import { describe, expect, it } from 'vitest';
import { chance, inWords, lowered } from '../../host/tell/index.js';

describe('words within a sentence', () => {
  it('keep the marks of parts as they are printed', () => {
    expect(lowered('K1 is a four-pin relay')).toBe('K1 is a four-pin relay');
    expect(lowered('A lamp feeds motor lead A')).toBe('a lamp feeds motor lead A');
    expect(lowered('The main fuse is blown')).toBe('the main fuse is blown');
  });
  it('count in words up to nine', () => {
    expect([2, 9, 10].map(inWords)).toEqual(['two', 'nine', '10']);
  });
  it('say of several causes that a likelihood is of all of them together', () => {
    expect(chance({ likelihood: 0.999 })).toBe('>99 %');
    expect(chance({ likelihood: 0.71, inseparable: ['main-fuse-blown'] })).toBe('together 71 %');
  });
});
