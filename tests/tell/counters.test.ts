// Of a link a person is told what went wrong, and that nothing did.

import { describe, expect, it } from 'vitest';
import { createLinkCounters } from '../../host/link/link-counters.js';
import { countersText } from '../../host/tell/index.js';

describe('what was counted on a link', () => {
  it('is one short line when nothing went wrong', () => {
    expect(countersText({ ...createLinkCounters(), framesIn: 20167, bytesIn: 832354, attempts: 1 })).toBe(
      '20167 frames, no errors',
    );
  });

  it('names each trouble, one and several', () => {
    const counters = { framesIn: 4120, framesLost: 2, retries: 1, 'board-slotsLate': 1, timeouts: 0 };
    expect(countersText(counters)).toBe('4120 frames; 2 frames lost, 1 request repeated, 1 late conversion');
  });

  it('is nothing where nothing was counted', () => expect(countersText({})).toBe(''));
});
