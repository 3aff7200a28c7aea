// The help of a verb, or of one of its parts, as it is shown in a terminal of 80 columns.

import { wrapWords } from '../tell/index.js';
import { callsOf, type Declaration, type OptionTold, type WordTold } from './declaration.js';

const COLUMNS = 80;
/** Names longer than this stand on a line of their own. */
const WIDEST_NAME = 18;

/** @param part one of the declaration's parts; without it the whole verb. Ends with a line break. */
export function usageText(declaration: Declaration, part?: string): string {
  const { notes, exit, examples } = declaration;
  const own = part === undefined ? undefined : declaration.parts?.[part];
  return [
    callLines(own?.calls ?? callsOf(declaration), 'usage: '),
    rowsOf(declaration, part).flatMap(([name, words]) => rowLines(name, words)),
    ...(notes === undefined ? [] : notes.split('\n\n').map((text) => wrapWords(oneLine(text), COLUMNS))),
    ['examples:', ...(own?.examples ?? examples).map((example) => `  throwbench ${example}`)],
    exit === undefined ? [] : wrapWords(`exit status: ${oneLine(exit)}`, COLUMNS),
  ]
    .filter((lines) => lines.length > 0)
    .map((lines) => `${lines.join('\n')}\n`)
    .join('\n');
}

/** What can be said, each with what it does, in the order in which help tells it. */
export function rowsOf({ parts, takes, options }: Declaration, part?: string): [string, string][] {
  const own = part === undefined ? undefined : parts?.[part];
  const told = Object.entries(options).filter(
    ([, { words, only }]) => words !== undefined && (part === undefined || (only?.includes(part) ?? true)),
  );
  return [
    ...(own === undefined
      ? Object.entries(parts ?? {}).map(([name, { words }]): [string, string] => [name, words])
      : [[part ?? '', own.words] as [string, string]]),
    ...(own?.takes ?? takes ?? []).map((word): [string, string] => [wordName(word), word.words]),
    ...told.map(([name, option]): [string, string] => [optionName(name, option), option.words ?? '']),
  ];
}

const wordName = ({ name, repeats }: WordTold): string => (repeats ? `${name}…` : name);

const optionName = (name: string, { value }: OptionTold): string =>
  value === undefined ? `--${name}` : `--${name} ${value}`;

function rowLines(name: string, words: string): string[] {
  const indent = WIDEST_NAME + 4;
  const [first = '', ...more] = wrapWords(oneLine(words), COLUMNS - indent);
  const blank = ' '.repeat(indent);
  const head = `  ${name}`;
  return name.length > WIDEST_NAME
    ? [head, ...[first, ...more].map((line) => `${blank}${line}`)]
    : [`${head.padEnd(indent)}${first}`, ...more.map((line) => `${blank}${line}`)];
}

/** Each call in lines of 80 columns, the first of them behind `head`. */
export function callLines(calls: readonly string[], head = ''): string[] {
  const blank = ' '.repeat(head.length);
  return calls.flatMap((call, index) => {
    const lines = [''];
    for (const word of callWords(`throwbench ${call}`)) {
      const line = lines.at(-1) ?? '';
      if (head.length + line.length + 1 + word.length > COLUMNS) lines.push(`    ${word}`);
      else lines[lines.length - 1] = line === '' ? word : `${line} ${word}`;
    }
    return lines.map((line, at) => `${index === 0 && at === 0 ? head : blank}${line}`);
  });
}

/** What stays together in a line: a bracket with all in it, an option with its value. */
function callWords(call: string): string[] {
  const words: string[] = [];
  let depth = 0;
  for (const word of call.split(' ')) {
    const before = words.at(-1);
    const isValue = before !== undefined && /^--\S+$/.test(before) && /^[A-Z]/.test(word);
    if (before !== undefined && (depth > 0 || isValue)) words[words.length - 1] = `${before} ${word}`;
    else words.push(word);
    depth += [...word].filter((sign) => '[('.includes(sign)).length;
    depth -= [...word].filter((sign) => '])'.includes(sign)).length;
  }
  return words;
}

const oneLine = (text: string): string => text.replace(/\s*\n\s*/g, ' ').trim();
