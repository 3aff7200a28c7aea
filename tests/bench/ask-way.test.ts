// Whom the question goes to, and what becomes of the answer.

import { describe, expect, it } from 'vitest';
import { askedWay } from '../../host/bench/ask-way.js';
import type { BenchEvent, WayQuestion } from '../../host/bench/index.js';
import { loadUnit, type ResolvedUnit, type Turned } from '../../host/profile/index.js';

const UNIT = loadUnit('window-lift-switch');

interface Asked {
  unit?: ResolvedUnit;
  turned?: Turned;
  wants?: boolean;
  signal?: AbortSignal;
  answer?: number | 'by-itself' | 'none';
}

async function ask({ unit = UNIT, turned, wants = true, signal, answer }: Asked) {
  const events: BenchEvent[] = [];
  const questions: WayQuestion[] = [];
  const way = await askedWay(
    unit,
    turned,
    {
      wantsWay: wants,
      signal: signal ?? new AbortController().signal,
      ...(answer === undefined
        ? {}
        : {
            whichWay: async (question) => {
              questions.push(question);
              return answer === 'none' ? undefined : answer;
            },
          }),
    },
    (event) => events.push(event),
  );
  const prompts = events.flatMap((event) => (event.kind === 'prompt' ? [event.prompt] : []));
  return { way, questions, prompts };
}

describe('which way it went', () => {
  it('is asked of the person in the words of the profile, and taken away again', async () => {
    const { way, questions, prompts } = await ask({ answer: 1 });
    expect(way).toEqual({ moved: 'as-reverse', by: 'person' });
    expect(questions).toEqual([{ choices: ['up', 'down', 'did not move', 'not seen'] }]);
    expect(prompts.map(({ code }) => code)).toEqual(['way', 'done']);
    expect(prompts[0]?.sentence).toBe(
      'Which way did it go when it was thrown forward? 1: up, 2: down, 3: did not move, 4: not seen.',
    );
  });

  it('is kept by nobody where no answer came', async () => {
    expect((await ask({ answer: 'none' })).way).toBeUndefined();
    expect((await ask({ answer: 'none', turned: 'right-way' })).way).toBeUndefined();
  });

  it.each([
    ['right-way', 'as-forward'],
    ['other-way', 'as-reverse'],
    ['still', 'still'],
  ] as const)('is told by a virtual bench that nobody attends: %s', async (turned, moved) => {
    const { way, prompts } = await ask({ turned });
    expect(way).toEqual({ moved, by: 'virtual-bench' });
    expect(prompts).toEqual([]);
  });

  it('is told by the virtual bench too where its person is away, and by the person who is there', async () => {
    const { questions, prompts, way } = await ask({ turned: 'other-way', answer: 'by-itself' });
    expect(way).toEqual({ moved: 'as-reverse', by: 'virtual-bench' });
    expect(questions[0]?.byItselfS).toBeGreaterThan(3);
    expect(prompts[0]?.sentence).toMatch(/The virtual bench answers by itself after 8 s\.$/);
    expect((await ask({ turned: 'other-way', answer: 0 })).way).toEqual({
      moved: 'as-forward',
      by: 'person',
    });
  });

  it('is asked of nobody where it is not wanted, nothing turns, nobody is there, or the run was stopped', async () => {
    const relay = loadUnit('mini-changeover-alone');
    for (const asked of [
      { wants: false, answer: 0 },
      { unit: relay, answer: 0 },
      { signal: AbortSignal.abort(), answer: 0 },
      {},
    ] satisfies Asked[]) {
      const { way, questions, prompts } = await ask(asked);
      expect(way).toBeUndefined();
      expect([...questions, ...prompts]).toEqual([]);
    }
  });
});
