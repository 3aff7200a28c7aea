// What one verb of the command line is, what it may touch of the outside, and the exit codes that scripts rely on.

import { type ParseArgsConfig, parseArgs } from 'node:util';
import type { Declaration } from './declaration.js';

/** 0 pass, 1 fail, 2 usage or bad input, 3 cannot tell or rig trouble. */
export const EXIT = { pass: 0, fail: 1, usage: 2, cannotTell: 3 } as const;

export const EXIT_OF_VERDICT = {
  pass: EXIT.pass,
  fail: EXIT.fail,
  'cannot-tell': EXIT.cannotTell,
} as const;

/** The outside world of a command, handed in so that tests can read what was written. */
export interface CommandIo {
  stdout(text: string): void;
  stderr(text: string): void;
  /** Standard input AND standard output are terminals: only then may a screen be mounted. */
  isTty: boolean;
  /** A person sits at standard input, whatever reads standard output. Absent: only where both are terminals. */
  isAttended?: boolean;
  columns: number;
  rows: number;
  cwd: string;
  /** The real streams, for a screen; absent where there is no terminal. */
  terminal?: { stdin: NodeJS.ReadStream; stdout: NodeJS.WriteStream };
  /** What is typed or piped in, for a verb that asks. */
  stdin?: NodeJS.ReadableStream;
  /** Aborted when nobody reads standard output any more (a closed pipe). */
  closed?: AbortSignal;
}

export interface Command {
  /** Several lines: synopsis first, then the options. */
  readonly usage: string;
  /** Of one of its parts, such as `show` behind `log`; undefined for a word that names none. */
  usageOf?(part: string): string | undefined;
  /** What it is called with, as `usage` tells it. */
  declaration?: Declaration;
  /** Resolves with an exit code; throws UsageError or InputError for what the user can mend. */
  run(args: string[], io: CommandIo): Promise<number>;
}

/** A verb of the one list; its command loads when it is called. */
export interface Verb {
  name: string;
  summary: string;
  /** It may record something, which then goes on to the shop's server where there is one. */
  records: boolean;
  load(): Promise<{ command: Command }>;
}

/** The streams to mount a screen on; undefined where lines are wanted, or all that there is. */
export const screenOf = (
  { terminal, isTty }: CommandIo,
  { json, plain }: { json: boolean; plain: boolean },
): CommandIo['terminal'] => (isTty && !json && !plain && process.env.TERM !== 'dumb' ? terminal : undefined);

/** A wrong call on the command line: one line of what is wrong and what would be right; exit 2. */
export class UsageError extends Error {
  override name = 'UsageError';

  /** `misspelt` lets the command line look for the name that was meant. */
  constructor(
    message: string,
    readonly misspelt?: { word: string; known: readonly string[] },
  ) {
    super(message);
  }
}

/** As programs are told it. */
export const jsonText = (value: unknown): string => `${JSON.stringify(value, undefined, 2)}\n`;

/** @throws UsageError for words behind those that a verb takes. */
export function refuseMore(words: readonly string[]): void {
  if (words.length > 0) throw new UsageError(`${JSON.stringify(words[0])} is one word too many`);
}

export interface NumberWanted {
  least: number;
  most: number;
  example: number;
  what?: 'whole number' | 'degrees Celsius';
}

/** Undefined where the option was not given. @throws UsageError for what is no number, or out of what can be. */
export function numberTold(
  name: string,
  text: string | undefined,
  { least, most, example, what }: NumberWanted,
): number | undefined {
  if (text === undefined) return undefined;
  const isWanted = (value: number): boolean =>
    value >= least && value <= most && (what !== 'whole number' || Number.isInteger(value));
  const value = text.trim() === '' ? Number.NaN : Number(text);
  if (isWanted(value)) return value;
  const [, meant = ''] = ALMOST.exec(text) ?? [];
  const almost = meant === '' ? Number.NaN : Number(meant.replace(',', '.'));
  const right = isWanted(almost) ? `: write ${almost}` : `, such as ${example}`;
  throw new UsageError(
    `--${name} '${text}' should be ${what === 'degrees Celsius' ? what : `a ${what ?? 'number'}`} from ${least} to ${most}${right}`,
  );
}
/** A number with a decimal comma, or with a unit behind it. */
const ALMOST = /^\s*(-?\d+(?:[.,]\d+)?)\s*[A-Za-z%°²Ω]*\s*$/;

/** `parseArgs` of Node with its errors turned into UsageError. Options first, then positional arguments. */
export function parseCommandArgs<const T extends NonNullable<ParseArgsConfig['options']>>(
  args: string[],
  options: T,
): ReturnType<typeof parseArgs<{ args: string[]; options: T; allowPositionals: true; strict: true }>> {
  try {
    const said = parseArgs({ args: negativesJoined(args), options, allowPositionals: true, strict: true });
    return { ...said, positionals: said.positionals.map((word) => word.replace(NUMBER_MARK, '')) };
  } catch (error) {
    throw usageErrorOf(error as Error & { code?: string }, Object.keys(options));
  }
}

/** In front of a negative number that is a word of its own, which would be taken for an option; no argument can hold it. */
const NUMBER_MARK = '\0';

/** No option is a number: `--reference -4.5` can only mean the value, and `ambient V-0107 -5` the word. */
function negativesJoined(args: readonly string[]): string[] {
  const joined: string[] = [];
  for (const [index, arg] of args.entries()) {
    const before = joined.at(-1);
    const isValue = /^-\.?\d/.test(arg) && before === args[index - 1] && /^--[^=]+$/.test(before ?? '');
    if (isValue) joined[joined.length - 1] = `${before}=${arg}`;
    else joined.push(/^-\.?\d/.test(arg) ? `${NUMBER_MARK}${arg}` : arg);
  }
  return joined;
}

function usageErrorOf(error: Error & { code?: string }, names: string[]): UsageError {
  const option = /'(?:-\w, )?(--?[^' =]+)/.exec(error.message)?.[1];
  if (error.code === 'ERR_PARSE_ARGS_UNKNOWN_OPTION' && option !== undefined) {
    const known = names.map((name) => `--${name}`);
    return new UsageError(`unknown option ${option}`, { word: option, known });
  }
  if (error.code === 'ERR_PARSE_ARGS_INVALID_OPTION_VALUE' && option !== undefined) {
    const takesNone = /does not take/.test(error.message);
    return new UsageError(`option ${option} ${takesNone ? 'takes no value' : 'needs a value'}`);
  }
  return new UsageError((error.message.split('\n')[0] ?? '').replace(/\.$/, ''));
}
