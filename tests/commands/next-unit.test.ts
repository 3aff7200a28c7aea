// The next unit of an open bench: what happens when a tag was mistyped, or its profile cannot be had any more.

import { describe, expect, it } from 'vitest';
import { NextUnit } from '../../host/commands/open-flow/next-unit.js';
import type { Settings } from '../../host/commands/settings.js';
import type { BenchController } from '../../host/screens/index.js';

interface Asked {
  title: string;
  trouble?: string;
  options?: readonly string[];
}

/** Answers in the order in which they are asked for; a function chooses by the question. */
function opened(
  answers: (string | number | 'back' | ((asked: Asked) => string | number | 'back'))[],
  settings: Settings = {},
) {
  const asked: Asked[] = [];
  const answer = async (question: Asked): Promise<never> => {
    asked.push(question);
    const next = answers.shift();
    if (next === undefined) throw new Error(`nobody answers ${question.title}`);
    return (typeof next === 'function' ? next(question) : next) as never;
  };
  const controller = {
    state: { bench: { units: [] } },
    askText: answer,
    askChoice: answer,
  } as unknown as BenchController;
  const store = {
    listRuns: () => [],
    listedProfile: () => undefined,
    tagAsKnown: (tag: string) => (tag.toUpperCase() === 'V-0107' ? 'V-0107' : tag),
  };
  return { units: new NextUnit(controller, store, settings, false), asked };
}

const lift = ({ options = [] }: Asked): number =>
  options.findIndex((option) => option.includes('(window-lift-alone)'));

describe('the next unit', () => {
  it('is asked for anew where the tag was mistyped, and the one of before is not run', async () => {
    const { units, asked } = opened(['X-1', 'back', 'V-0107', lift]);
    expect(await units.next()).toMatchObject({ tag: 'V-0107', unit: { unit: { id: 'window-lift-alone' } } });
    expect(asked.map(({ title }) => title)).toEqual([
      'Which unit is next?',
      'What is X-1?',
      'Which unit is next?',
      'What is V-0107?',
    ]);
  });

  it.each([
    ['in another case than it was written first', 'v-0107'],
    ['with the mark of a kind of code in front, as a reader may be set', ']C1V-0107'],
    ['with marks that nobody sees', '\ufeffV-\u200b0107 '],
  ])('is the unit that is known, though its tag comes %s', async (_how, tag) => {
    const { units } = opened([tag, lift, lift]);
    expect(await units.next()).toMatchObject({ tag: 'V-0107' });
    expect(units.scan(tag)).toBe(true);
    expect(await units.next()).toMatchObject({ tag: 'V-0107' });
  });

  it('is asked for again where nothing of it can be seen', async () => {
    const { units } = opened(['\u200b', 'V-0107', lift]);
    expect(await units.next()).toMatchObject({ tag: 'V-0107' });
  });

  it('is the tag that was scanned while another one was asked about', async () => {
    const { units } = opened([
      'X-1',
      () => {
        units.scan('V-0108');
        return 'back';
      },
      lift,
    ]);
    expect(await units.next()).toMatchObject({ tag: 'V-0108' });
  });

  it.each([
    ['that nobody has', 'window-lif-alone', /window-lif-alone: no unit of this id/],
    ['that is no unit', 'window-lift', /window-lift: no unit of this id/],
  ])('whose tag stands for a profile %s is asked what it is, and why', async (_what, profile, why) => {
    const { units, asked } = opened(['V-0107', lift, 'V-0108'], { profiles: { 'V-': profile } });
    expect(await units.next()).toMatchObject({ tag: 'V-0107', unit: { unit: { id: 'window-lift-alone' } } });
    expect(asked[1]?.trouble).toMatch(why);
    // Once for the sitting.
    expect(await units.next()).toMatchObject({ tag: 'V-0108', unit: { unit: { id: 'window-lift-alone' } } });
    expect(asked).toHaveLength(3);
  });
});
