// `throwbench unit`: the story of a unit, shown and added to.

import { JSON_OPTION } from '../bench-named.js';
import { refuseMore, UsageError } from '../command.js';
import type { Declaration } from '../declaration.js';
import { declared, partNamed } from '../declared.js';

const DECISIONS = ['accept', 'rework', 'reject', 'hold'] as const;
const LONGEST_TEXT = 500;

const TAG = { name: 'TAG', words: 'the unit', offer: 'tag' } as const;
const TEXT = { name: 'TEXT', words: 'in a few words' } as const;
const ENTRY = { name: 'ENTRY', words: 'the number of the entry, which show tells' } as const;
const WRITERS = [
  ...(['received', 'repaired', 'shipped', 'note', 'part', 'photo', 'ambient'] as const),
  ...(['decide', 'correct', 'withdraw'] as const),
];

const DECLARATION = {
  calls: [
    'unit [list] [--json]',
    'unit show TAG [--json]',
    'unit received|repaired|shipped TAG [TEXT] [--by NAME] [--json]',
    'unit note TAG TEXT [--by NAME] [--json]',
    'unit part TAG PART [--number N] [--by NAME] [--json]',
    'unit photo TAG FILE [TEXT] [--by NAME] [--json]',
    'unit ambient TAG TEMPERATURE [--by NAME] [--json]',
    'unit decide TAG accept|rework|reject|hold REASON [--by NAME] [--json]',
    'unit correct TAG ENTRY TEXT [--by NAME] [--json]',
    'unit withdraw TAG ENTRY REASON [--by NAME] [--json]',
  ],
  parts: {
    list: { words: 'the units, and where each stands', calls: ['unit [list] [--json]'], examples: ['unit'] },
    show: {
      words: 'the story of one unit: what was written of it, its runs, what was decided',
      calls: ['unit show TAG [--json]'],
      takes: [TAG],
      examples: ['unit show V-0107'],
    },
    received: {
      words: 'how it came in',
      calls: ['unit received TAG [TEXT] [--by NAME] [--json]'],
      takes: [TAG, TEXT],
      examples: ['unit received V-0107 "goes out and does not come in"'],
    },
    repaired: {
      words: 'what was done to it',
      calls: ['unit repaired TAG [TEXT] [--by NAME] [--json]'],
      takes: [TAG, TEXT],
      examples: ['unit repaired V-0107 "brushes replaced"'],
    },
    shipped: {
      words: 'how it goes out',
      calls: ['unit shipped TAG [TEXT] [--by NAME] [--json]'],
      takes: [TAG, TEXT],
      examples: ['unit shipped V-0107 "fitted to the van"'],
    },
    note: {
      words: 'anything else',
      calls: ['unit note TAG TEXT [--by NAME] [--json]'],
      takes: [TAG, TEXT],
      examples: ['unit note V-0107 "plug swapped for a new one"'],
    },
    part: {
      words: 'a part that was replaced, with its number where it has one',
      calls: ['unit part TAG PART [--number N] [--by NAME] [--json]'],
      takes: [TAG, { name: 'PART', words: 'what was replaced' }],
      examples: ['unit part V-0107 "relay K2" --number 4711'],
    },
    photo: {
      words: 'keeps a copy of the picture under its hash, so that a changed one is found out',
      calls: ['unit photo TAG FILE [TEXT] [--by NAME] [--json]'],
      takes: [TAG, { name: 'FILE', words: 'the picture', offer: 'file' }, TEXT],
      examples: ['unit photo V-0107 brushes.jpg "worn to the lead"'],
    },
    ambient: {
      words: 'the temperature where it was tested',
      calls: ['unit ambient TAG TEMPERATURE [--by NAME] [--json]'],
      takes: [TAG, { name: 'TEMPERATURE', words: 'degrees Celsius, or such as 54F' }],
      examples: ['unit ambient V-0107 12', 'unit ambient V-0107 54F'],
    },
    decide: {
      words: 'what becomes of it after its newest run, and why',
      calls: ['unit decide TAG accept|rework|reject|hold REASON [--by NAME] [--json]'],
      takes: [
        TAG,
        { name: 'DECISION', words: 'accept, rework, reject or hold', offer: DECISIONS },
        { name: 'REASON', words: 'why' },
      ],
      examples: ['unit decide V-0107 rework "coil of K2 open" --by "day shift"'],
    },
    correct: {
      words: 'other words for an entry: an entry of its own, nothing that was written goes away',
      calls: ['unit correct TAG ENTRY TEXT [--by NAME] [--json]'],
      takes: [TAG, ENTRY, TEXT],
      examples: ['unit correct V-0107 3 "relay K1, not K2"'],
    },
    withdraw: {
      words: 'takes an entry back, by an entry of its own',
      calls: ['unit withdraw TAG ENTRY REASON [--by NAME] [--json]'],
      takes: [TAG, ENTRY, { name: 'REASON', words: 'why' }],
      examples: ['unit withdraw V-0107 3 "written to the wrong unit"'],
    },
  },
  options: {
    number: { type: 'string', value: 'N', words: 'number of the part', only: ['part'] },
    by: {
      type: 'string',
      value: 'NAME',
      words: 'who writes or decides it; else the operator of the settings',
      only: WRITERS,
    },
    json: JSON_OPTION,
  },
  examples: [
    'unit show V-0107',
    'unit received V-0107 "goes out and does not come in"',
    'unit part V-0107 "relay K2" --number 4711',
    'unit decide V-0107 rework "coil of K2 open" --by "day shift"',
  ],
  exit: '0 done, 2 usage or no such unit',
} as const satisfies Declaration;

export const command = declared(DECLARATION, async ({ values, positionals }, io) => {
  const [first = 'list', tag, ...rest] = positionals;
  const verb = partNamed<keyof typeof DECLARATION.parts>('unit', DECLARATION, first, values);
  const { json, by, number } = values;
  const { steeringIn } = await import('../../input/index.js');
  const { tagFault } = await import('../tag-told.js');
  for (const text of [...rest, by, number])
    if (
      text !== undefined &&
      (steeringIn(text) !== undefined || text.trim() === '' || text.length > LONGEST_TEXT)
    )
      throw new UsageError(
        `${JSON.stringify(text.slice(0, 40))} cannot be kept: 1 to ${LONGEST_TEXT} letters, in one line`,
      );
  const work = await import('../unit.js');
  if (verb === 'list') {
    refuseMore(tag === undefined ? [] : [tag]);
    return work.listUnits(io, json);
  }
  const fault = tagFault(tag ?? '');
  if (tag === undefined || fault)
    throw new UsageError(`unit ${verb}: ${fault?.what ?? ''}; ${fault?.mend ?? ''}`);
  const wanted = (place: number, what: string): string => {
    const text = rest[place];
    if (text === undefined) throw new UsageError(`unit ${verb} needs ${what}`);
    return text;
  };
  const least = (count: number): void => refuseMore(rest.slice(count));
  const told = { by, json };
  switch (verb) {
    case 'show':
      least(0);
      return work.showUnit(io, tag, json);
    case 'received':
    case 'repaired':
    case 'shipped': {
      least(1);
      const [text] = rest;
      return work.write(io, tag, { kind: verb, ...(text === undefined ? {} : { text }) }, told);
    }
    case 'note':
      least(1);
      return work.write(io, tag, { kind: 'note', text: wanted(0, 'a TEXT') }, told);
    case 'part': {
      least(1);
      const part = wanted(0, 'a PART');
      return work.write(io, tag, { kind: 'part', part, ...(number === undefined ? {} : { number }) }, told);
    }
    case 'photo':
      least(2);
      return work.addPhoto(io, { tag, file: wanted(0, 'a FILE'), text: rest[1] }, told);
    case 'ambient': {
      least(1);
      const { celsiusNamed } = await import('../typed-units.js');
      const { settledForms } = await import('../settled-forms.js');
      const text = wanted(0, 'a temperature, such as 12 or 54F');
      const asked = { least: -40, most: 85, example: 12 };
      const value = celsiusNamed('ambient', text, asked, await settledForms());
      return work.write(io, tag, { kind: 'ambient', temperatureC: value ?? 0 }, told);
    }
    case 'decide': {
      least(2);
      const asked = wanted(0, 'a decision: accept, rework, reject or hold');
      const word = DECISIONS.find((one) => one === asked);
      if (word === undefined)
        throw new UsageError(`unknown decision ${JSON.stringify(asked)}`, {
          word: asked,
          known: DECISIONS,
        });
      return work.decide(io, { tag, word, reason: wanted(1, 'a REASON') }, told);
    }
    case 'correct':
    case 'withdraw': {
      least(2);
      const entry = Number(wanted(0, 'the number of an ENTRY'));
      if (!Number.isInteger(entry) || entry < 1)
        throw new UsageError(`ENTRY '${rest[0]}' should be a number, as unit show tells it`);
      const isWithdrawn = verb === 'withdraw';
      const text = wanted(1, isWithdrawn ? 'a REASON' : 'a TEXT');
      return work.correct(io, { tag, entry, text, isWithdrawn }, told);
    }
  }
});
