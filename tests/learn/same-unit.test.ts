// Tags as a hand types them, by construction: what differs by case, spaces and signs alone is one tag.

import { describe, expect, it } from 'vitest';
import { typedAlike } from '../../host/learn/index.js';

describe('tags that read alike', () => {
  it.each([
    ['V-0107', 'v0107'],
    ['V-0107', 'V 0107'],
    ['V-0107', 'V.0107'],
  ])('%s and %s are one', (one, other) => {
    expect(typedAlike([one, 'V-0108', other])).toEqual([[one, other]]);
  });
  it.each([
    ['V-1-10', 'V-11-0'],
    ['V-0107', 'V-0107a'],
    ['-', '+'],
    ['V-0107', 'V-0107'],
  ])('%s and %s are not told as two ways of one', (one, other) => {
    expect(typedAlike([one, other])).toEqual([]);
  });
});
