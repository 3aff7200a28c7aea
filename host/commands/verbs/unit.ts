// `throwbench unit`: the story of a unit, shown and added to.

import { type Command, parseCommandArgs, refuseMore, UsageError } from '../command.js';

const WORDS = [
  ...(['list', 'show', 'received', 'repaired', 'shipped', 'note', 'part', 'photo', 'ambient'] as const),
  ...(['decide', 'correct', 'withdraw'] as const),
];
const DECISIONS = ['accept', 'rework', 'reject', 'hold'] as const;
const LONGEST_TEXT = 500;

export const command: Command = {
  usage: `usage: throwbench unit [--json]
       throwbench unit show TAG [--json]
       throwbench unit received|repaired|shipped TAG [TEXT] [--by NAME] [--json]
       throwbench unit note TAG TEXT [--by NAME] [--json]
       throwbench unit part TAG PART [--number N] [--by NAME] [--json]
       throwbench unit photo TAG FILE [TEXT] [--by NAME] [--json]
       throwbench unit ambient TAG CELSIUS [--by NAME] [--json]
       throwbench unit decide TAG accept|rework|reject|hold REASON [--by NAME] [--json]
       throwbench unit correct TAG ENTRY TEXT [--by NAME] [--json]
       throwbench unit withdraw TAG ENTRY REASON [--by NAME] [--json]

  show       the story of one unit: what was written of it, its runs, what was decided
  received   how it came in; repaired: what was done to it; shipped: how it goes out
  part       a part that was replaced, with its number where it has one
  photo      keeps a copy of the picture under its hash, so that a changed one is found out
  decide     what becomes of it after its newest run, and why
  correct    other words for an entry, whose number show tells; withdraw takes one back. Both are
             entries of their own: nothing that was written goes away
  --by NAME  who writes or decides it; else the operator of the settings
  --json     for programs

examples:
  throwbench unit show V-0107
  throwbench unit received V-0107 "goes out and does not come in"
  throwbench unit part V-0107 "relay K2" --number 4711
  throwbench unit decide V-0107 rework "coil of K2 open" --by Kim
`,
  async run(args, io) {
    const { values, positionals } = parseCommandArgs(args, {
      number: { type: 'string' },
      by: { type: 'string' },
      json: { type: 'boolean', default: false },
    });
    const [first = 'list', tag, ...rest] = positionals;
    const verb = WORDS.find((word) => word === first);
    if (verb === undefined)
      throw new UsageError(`unknown word ${JSON.stringify(first)} after unit`, { word: first, known: WORDS });
    const { json, by, number } = values;
    if (number !== undefined && verb !== 'part')
      throw new UsageError(`--number does not go with unit ${verb}`);
    if (by !== undefined && (verb === 'list' || verb === 'show'))
      throw new UsageError(`--by does not go with unit ${verb}`);
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
        const { numberTold } = await import('../command.js');
        const text = wanted(0, 'a temperature in degrees Celsius');
        const value = numberTold('ambient', text, {
          least: -40,
          most: 85,
          example: 12,
          what: 'degrees Celsius',
        });
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
  },
};
