// `profile new parts`: a list of parts of one's own, by questions, a part after the other.

import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { known } from '../../fields/index.js';
import { displayPath } from '../../input/index.js';
import {
  checkFile,
  loadParts,
  NO_SOURCE,
  PARTS_LISTS,
  type PartsListName,
  PROFILES_VARIABLE,
} from '../../profile/index.js';
import { wireSize } from '../../tell/index.js';
import { type CommandIo, EXIT } from '../command.js';
import { Dialogue } from './dialogue.js';
import { folderOf, write } from './new.js';
import { bounds, idOf, LONGEST_TITLE, refusedName } from './questions.js';
import { type NewPart, partsText } from './written.js';

/** A number that is asked for: with `usual` it is always written, else where it is known. */
interface Asked {
  key: string;
  question: string;
  of: Parameters<typeof bounds>[0];
  unit: string;
  usual: number;
  isOptional?: true;
  /** What it means that nobody tells it. */
  otherwise?: string;
}

/** Nothing is promised above 12 V of a part that nobody told for more. */
const voltage = (question: string): Asked => ({
  ...{ key: 'ratedV', question, of: 'systemV', unit: 'V', usual: 24 },
  ...{ isOptional: true, otherwise: 'not told: 12 V' },
});

const SORTS: Readonly<Record<PartsListName, { word: string; asks: readonly Asked[] }>> = {
  switches: {
    word: 'switch',
    asks: [
      { key: 'carryA', question: 'What does it carry?', of: 'contactA', unit: 'A', usual: 16 },
      {
        key: 'inductiveA',
        question: 'What does it break of a motor?',
        of: 'contactA',
        unit: 'A',
        usual: 8,
        isOptional: true,
      },
      {
        key: 'makeA',
        question: 'What does it make for a moment, at a start?',
        of: 'contactA',
        unit: 'A',
        usual: 30,
        isOptional: true,
      },
      voltage('Up to which direct voltage?'),
    ],
  },
  relays: {
    word: 'relay',
    asks: [
      { key: 'makeA', question: 'What does 87 bear?', of: 'contactA', unit: 'A', usual: 30 },
      {
        key: 'breakA',
        question: 'What does 87a bear?',
        of: 'contactA',
        unit: 'A',
        usual: 20,
        isOptional: true,
      },
      voltage('Of which voltage is its coil?'),
    ],
  },
  fuses: {
    word: 'fuse',
    asks: [
      { key: 'ratedA', question: 'Its rating?', of: 'fuseA', unit: 'A', usual: 15 },
      voltage('Up to which direct voltage?'),
    ],
  },
  wires: {
    word: 'wire',
    asks: [
      { key: 'size', question: 'Its size', of: 'areaMm2', unit: 'mm²', usual: 2.5 },
      {
        key: 'carryA',
        question: 'What does it carry, by its sheet?',
        of: 'contactA',
        unit: 'A',
        usual: 20,
        isOptional: true,
      },
    ],
  },
  connectors: {
    word: 'connector',
    asks: [{ key: 'carryA', question: 'What does it carry?', of: 'contactA', unit: 'A', usual: 20 }],
  },
};
const LONGEST_SOURCE = 160;

/** @throws InputError for a folder that cannot be written, or a file that is there already */
export async function writeNewParts(io: CommandIo, folder: string | undefined): Promise<number> {
  const dir = folderOf(io, folder);
  const dialogue = new Dialogue(io);
  try {
    dialogue.tell('Enter takes what stands in [brackets]; "I do not know" is an answer too.\n');
    const pathOf = (id: string): string => join(dir, 'parts', `${id}.yaml`);
    const isTaken = (id: string): boolean => existsSync(pathOf(id));
    const title = await dialogue.text(
      'What do you call the list?',
      freeName('Own parts', isTaken),
      (answer) => refusedName(answer, isTaken),
    );
    const parts = await askParts(dialogue);
    const path = pathOf(idOf(title));
    write([{ kind: 'parts', path, text: (schema) => partsText({ id: idOf(title), title, parts }, schema) }]);
    checkFile(path);
    const name = displayPath(path);
    dialogue.tell(`\nWritten and checked: ${name}`);
    dialogue.tell(`See it:    throwbench profile show ${name}`);
    dialogue.tell(`Use it:    throwbench ratings --profile P --parts ${name}`);
    dialogue.tell(`Always:    set ${PROFILES_VARIABLE} to ${displayPath(dir)}`);
    return EXIT.pass;
  } finally {
    dialogue.close();
  }
}

/** One at the least; where nobody answers any more, no more. */
async function askParts(dialogue: Dialogue): Promise<NewPart[]> {
  const shipped = loadParts();
  const taken = new Set(PARTS_LISTS.flatMap((list) => shipped[list].map(({ id }) => id)));
  const sorts = PARTS_LISTS.map((list) => ({
    value: list,
    id: SORTS[list].word,
    words: `a ${SORTS[list].word}`,
  }));
  const done = { value: undefined, id: 'done', words: 'that is all' } as const;
  const parts: NewPart[] = [];
  for (;;) {
    const isFirst = parts.length === 0;
    const question = isFirst ? 'What sort of part?' : 'And another?';
    const list = isFirst
      ? ((await dialogue.choose(question, sorts, 0)) ?? 'switches')
      : await dialogue.choose<PartsListName | undefined>(question, [...sorts, done], sorts.length);
    if (list === undefined) return parts;
    const part = await askPart(dialogue, list, taken);
    taken.add(part.id);
    parts.push(part);
  }
}

async function askPart(
  dialogue: Dialogue,
  list: PartsListName,
  taken: ReadonlySet<string>,
): Promise<NewPart> {
  const { word, asks } = SORTS[list];
  const numbers: Record<string, number> = {};
  /** In the name that is proposed. */
  let words: string | undefined;
  for (const { key, question, of, unit, usual, isOptional, otherwise = 'not told' } of asks) {
    // What a contact does besides is no more than its first number, but for a start.
    const first = Object.values(numbers)[0];
    const { least, most } = bounds(of);
    if (key === 'size') {
      const stated = await dialogue.wireSize(question, { usualMm2: usual, least, most });
      words = wireSize(stated);
      Object.assign(numbers, known(stated));
      continue;
    }
    const isPart = key === 'inductiveA' || key === 'breakA';
    const answer = await dialogue.number({
      ...{ question, unit, usual: isPart && first !== undefined ? Math.min(usual, first) : usual },
      ...{ least, most: isPart && first !== undefined ? first : most },
      otherwise: isOptional ? otherwise : '',
    });
    const value = answer ?? (isOptional ? undefined : usual);
    if (value !== undefined) numbers[key] = Number(value.toPrecision(6));
  }
  const [size = 0] = Object.values(numbers);
  const isTaken = (id: string): boolean => taken.has(id);
  const of = words ?? `${size} ${asks[0]?.unit ?? ''}`;
  const at = numbers.ratedV === undefined ? '' : `, ${numbers.ratedV} V`;
  const usualTitle = freeName(`own ${word} of ${of}${at}`, isTaken);
  const title = await dialogue.text('What do you call it?', usualTitle, (answer) =>
    refusedName(answer, isTaken, () => 'There is a part of this name already'),
  );
  const source = await dialogue.text('Where do its numbers come from?', NO_SOURCE, (answer) =>
    answer.length > LONGEST_SOURCE
      ? `Type ${LONGEST_SOURCE} characters or fewer.`
      : refusedName(answer.slice(0, LONGEST_TITLE), () => false),
  );
  return {
    list,
    id: idOf(title),
    title,
    numbers,
    ...known({ source: source === NO_SOURCE ? undefined : source }),
  };
}

function freeName(name: string, isTaken: (id: string) => boolean): string {
  for (let count = 1; ; count++) {
    const title = count === 1 ? name : `${name}, ${count}`;
    if (!isTaken(idOf(title))) return title;
  }
}
