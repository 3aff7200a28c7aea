// What a person at the switch sees and hears: one large word, one sentence, gone when it is done.

import { describe, expect, it } from 'vitest';
import type { BenchEvent, HandPrompt } from '../../host/bench/index.js';
import { plainLines } from '../../host/commands/plain-lines.js';
import { headlineWord } from '../../host/screens/Headline.js';
import { EMPTY_VIEW, reduceBench, themeFor } from '../../host/screens/index.js';

const step = { position: 'forward', durationS: 0.9, feed: 'full' } as const;
const prompt = (code: HandPrompt['code'], sentence = 'Say it.'): BenchEvent => ({
  kind: 'prompt',
  prompt: { code, position: 'forward', sentence },
});
const begun: BenchEvent[] = [{ kind: 'step-started', index: 1, step, atS: 1 }];
const viewAfter = (...events: BenchEvent[]) => [...begun, ...events].reduce(reduceBench, EMPTY_VIEW);
const wordAfter = (...events: BenchEvent[]): string =>
  headlineWord({
    bench: viewAfter(...events),
    stop: 'no',
    ended: false,
    page: 'bench',
    selected: 0,
    scroll: 0,
  }).word;

describe('a prompt to throw the switch by hand', () => {
  it.each([
    ['throw', 'FORWARD'],
    ['other-way', 'FORWARD'],
    ['too-short', 'FORWARD'],
    ['nothing-seen', 'FORWARD'],
    ['hold', 'HOLD'],
    ['let-go', 'LET GO'],
    ['held-too-long', 'LET GO'],
    ['go-on', 'LET GO'],
  ] as const)('is one large word: %s is %s', (code, word) => {
    expect(wordAfter(prompt(code))).toBe(word);
  });

  it.each([
    ['open', 'OPEN'],
    ['OUT', 'OUT'],
    ['the far side', 'THROW'],
    ['links', 'THROW'],
  ])('says what the side is called where that can be drawn: %s is %s', (side, word) => {
    const asked = { code: 'throw', position: 'forward', sentence: 'Say it.', side } as const;
    expect(wordAfter({ kind: 'prompt', prompt: asked })).toBe(word);
  });

  it('goes when it is done, when a step starts, and when the outputs are off', () => {
    expect(viewAfter(prompt('throw')).prompt?.sentence).toBe('Say it.');
    for (const event of [prompt('done', ''), ...begun, { kind: 'outputs-off' } as const])
      expect(viewAfter(prompt('throw'), event).prompt).toBeUndefined();
  });

  it('is one plain line, and none when it is done', () => {
    const theme = themeFor({ NO_COLOR: '1' });
    expect(plainLines(prompt('throw'), EMPTY_VIEW, theme)).toEqual(['  > Say it.']);
    expect(plainLines(prompt('done', ''), EMPTY_VIEW, theme)).toEqual([]);
  });
});
