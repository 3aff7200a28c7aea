// What fits at the end of a half-typed call, by what the verbs declare. Knows no shell, looks nothing up itself.

import type { Declaration, Offer, OptionTold, WordTold } from '../declaration.js';

export interface Fitting {
  word: string;
  /** What it is, for shells that show that. */
  told?: string;
}

export interface Completion {
  words: readonly Fitting[];
  /** Files or folders fit too; the shell itself knows which there are. */
  files?: 'file' | 'folder';
}

export interface VerbKnown {
  name: string;
  summary: string;
  declaration(): Promise<Declaration | undefined>;
}

/** What there is of an offer. @param said values of the options typed before, the newest of each */
export type LookUp = (
  offer: Exclude<Offer, readonly string[]>,
  said: SaidBefore,
) => Promise<readonly Fitting[]>;
export type SaidBefore = Readonly<Record<string, string | true>>;

const NOTHING: Completion = { words: [] };

/** @param typed the words behind the program's name, the last of them half typed, or empty */
export async function complete(
  typed: readonly string[],
  verbs: readonly VerbKnown[],
  lookUp: LookUp,
): Promise<Completion> {
  const [first = '', ...rest] = typed;
  const named = (word: string): Completion => ({
    words: verbs
      .filter(({ name }) => name.startsWith(word))
      .map(({ name, summary }) => ({ word: name, told: summary })),
  });
  if (rest.length === 0) return named(first);
  if (first === 'help') return rest.length === 1 ? named(rest[0] ?? '') : NOTHING;
  const declaration = await verbs.find(({ name }) => name === first)?.declaration();
  return declaration === undefined ? NOTHING : completeIn(declaration, rest, lookUp);
}

async function completeIn(
  { options, parts, takes }: Declaration,
  typed: readonly string[],
  lookUp: LookUp,
): Promise<Completion> {
  const current = typed.at(-1) ?? '';
  const { said, words, waiting } = readBefore(typed.slice(0, -1), options);
  const offered = async (
    { offer, also = [] }: { offer?: Offer; also?: readonly string[] } = {},
    beginning = '',
    prefix = '',
  ): Promise<Completion> => {
    if (offer === undefined) return NOTHING;
    if (offer === 'file' || offer === 'folder') return { words: [], files: offer };
    const all = typeof offer === 'string' ? await lookUp(offer, said) : offer.map((word) => ({ word }));
    const fits = [...also.map((word) => ({ word })), ...all].filter(({ word }) => word.startsWith(beginning));
    // Ids give way to a file of one's own.
    return fits.length === 0 && typeof offer === 'string'
      ? { words: [], files: 'file' }
      : { words: fits.map((one) => ({ ...one, word: `${prefix}${one.word}` })) };
  };
  if (waiting !== undefined) return offered(options[waiting], current);
  const [, name = '', value] = /^--([^=]+)=(.*)$/.exec(current) ?? [];
  if (value !== undefined) return offered(options[name], value, `--${name}=`);

  const [part] = words;
  const told = parts !== undefined && part !== undefined ? parts[part] : undefined;
  const own = (): Completion => ({
    words: Object.entries(options)
      .filter(
        ([option, { words: does, only }]) =>
          does !== undefined &&
          (part === undefined || !told || only?.includes(part) !== false) &&
          (said[option] === undefined || options[option]?.multiple),
      )
      .map(([option, { words: does = '' }]) => ({ word: `--${option}`, told: does }))
      .filter(({ word }) => word.startsWith(current)),
  });
  if (current.startsWith('-')) return own();
  if (parts !== undefined && words.length === 0) {
    const named = Object.entries(parts)
      .map(([word, { words: does }]) => ({ word, told: does }))
      .filter(({ word }) => word.startsWith(current));
    const { words: others } = takes?.[0] ? await offered(takes[0], current) : NOTHING;
    return { words: [...named, ...others] };
  }
  const word = told ? wordAt(told.takes, words.length - 1) : wordAt(takes, words.length);
  return word === undefined ? own() : offered(word, current);
}

/** Options and words typed before; `waiting` is an option whose value comes next. */
function readBefore(typed: readonly string[], options: Readonly<Record<string, OptionTold>>) {
  const said: Record<string, string | true> = {};
  const words: string[] = [];
  let waiting: string | undefined;
  for (const word of typed) {
    if (waiting !== undefined) {
      said[waiting] = word;
      waiting = undefined;
      continue;
    }
    const [, name, value] = /^--([^=]+)(?:=(.*))?$/.exec(word) ?? [];
    if (name === undefined) words.push(word);
    else if (value === undefined && options[name]?.type === 'string') waiting = name;
    else said[name] = value ?? true;
  }
  return { said, words, waiting };
}

function wordAt(takes: readonly WordTold[] = [], at: number): WordTold | undefined {
  const last = takes.at(-1);
  return takes[at] ?? (last?.repeats ? last : undefined);
}
