// One YAML file, read whole and kept with the line of every key, so that a fault in it can be pointed at.
// YAML 1.2 core schema: `no` and `on` are words, not booleans.

import { readFileSync, statSync } from 'node:fs';
import { type Document, isMap, isNode, isScalar, isSeq, LineCounter, parseAllDocuments } from 'yaml';
import { displayPath, InputError, oneLine, readFault } from '../input/index.js';
import { documentFault, TOO_DEEP, tooMuch } from './document-faults.js';

/** A profile is a page of text; more than this is some other file. */
const LARGEST_BYTES = 1_000_000;

export type KeyPath = readonly (string | number)[];

/** By path, the newest text of each: profiles of a tray refer to the same few files again and again. */
const known = new Map<string, { text: string; name: string; file: YamlFile }>();

export class YamlFile {
  readonly #document: Document;
  readonly #lines: LineCounter;
  #value: { is: unknown } | undefined;

  private constructor(
    /** As the user would name it. */
    readonly name: string,
    document: Document,
    lines: LineCounter,
  ) {
    this.#document = document;
    this.#lines = lines;
  }

  /** @throws InputError when the file cannot be read or is not one YAML mapping. */
  static read(path: string): YamlFile {
    const name = displayPath(path);
    const text = readText(path, name);
    const before = known.get(path);
    if (before?.text === text && before.name === name) return before.file;
    const file = YamlFile.parse(text, name);
    known.set(path, { text, name, file });
    return file;
  }

  /** @throws InputError with the line of the first fault. */
  static parse(text: string, name: string): YamlFile {
    const lines = new LineCounter();
    const much = tooMuch(text);
    if (much) throw new InputError({ file: name, ...much });
    // Keys that stand twice are looked for by documentFault: the library compares each with each.
    const documents = notTooDeep(name, () =>
      parseAllDocuments(text, { lineCounter: lines, prettyErrors: false, uniqueKeys: false }),
    );
    const [document, second] = Array.isArray(documents) ? documents : [];
    if (document === undefined) {
      throw new InputError({ file: name, what: 'is empty', mend: 'write the keys of a profile into it' });
    }
    const error = document.errors[0];
    if (error) {
      const { line } = lines.linePos(error.pos[0]);
      throw new InputError({
        file: name,
        line,
        ...syntaxFault(error.code, error.message),
      });
    }
    if (second) {
      const { line } = lines.linePos(second.range[0]);
      throw new InputError({
        file: name,
        line,
        what: 'a second document starts',
        mend: 'keep one profile a file',
      });
    }
    const fault = documentFault(document.contents);
    if (fault) {
      const { line } = lines.linePos(fault.at);
      throw new InputError({ file: name, line, what: fault.what, mend: fault.mend });
    }
    const file = new YamlFile(name, document, lines);
    if (!isMap(document.contents)) {
      throw file.fault([], 'is not a mapping', 'write one `key: value` a line');
    }
    return file;
  }

  /** The plain value, the same each time; aliases are expanded within the library's limit. */
  value(): unknown {
    try {
      this.#value ??= { is: this.#document.toJS() };
      return this.#value.is;
    } catch (error) {
      throw this.fault(
        [],
        `cannot be read (${(error as Error).message})`,
        'write the values out instead of aliases',
      );
    }
  }

  /** Line of the key at `path`, of the nearest one above it where it is absent, undefined at the top. */
  lineOf(path: KeyPath): number | undefined {
    let node: unknown = this.#document.contents;
    let offset: number | undefined;
    for (const step of path) {
      if (isMap(node)) {
        const pair = node.items.find(({ key }) => String(isScalar(key) ? key.value : key) === String(step));
        if (!pair) break;
        if (isNode(pair.key) && pair.key.range) offset = pair.key.range[0];
        node = pair.value;
      } else if (isSeq(node)) {
        const item = node.items[Number(step)];
        if (isNode(item) && item.range) offset = item.range[0];
        node = item;
      } else break;
    }
    return offset === undefined ? undefined : this.#lines.linePos(offset).line;
  }

  /** What stands in comments above a key at the top, or behind its value; empty where nothing does. */
  commentOf(key: string): string {
    const { contents } = this.#document;
    if (!isMap(contents)) return '';
    const pair = contents.items.find((item) => isScalar(item.key) && item.key.value === key);
    const above = isNode(pair?.key) ? pair.key.commentBefore : undefined;
    const behind = isNode(pair?.value) ? pair.value.comment : undefined;
    return wordsOf([above, behind]);
  }

  /** What stands in comments at the head of the file, without words to editors. */
  headComment(): string {
    const { contents, commentBefore } = this.#document;
    const first = isMap(contents) ? contents.items[0]?.key : undefined;
    return wordsOf([
      commentBefore,
      isNode(contents) ? contents.commentBefore : undefined,
      isNode(first) ? first.commentBefore : undefined,
    ]);
  }

  fault(path: KeyPath, what: string, mend?: string): InputError {
    return new InputError({ file: this.name, line: this.lineOf(path), key: keyText(path), what, mend });
  }
}

const wordsOf = (comments: readonly (string | null | undefined)[]): string =>
  comments
    .flatMap((comment) => comment?.split('\n') ?? [])
    .map((line) => line.trim())
    .filter((line) => line !== '' && !line.startsWith('yaml-language-server:'))
    .map(oneLine)
    .join(' ');

/** `units[2].tag`; undefined for the top. Indices count from 0 as in JSON. */
export function keyText(path: KeyPath): string | undefined {
  if (path.length === 0) return undefined;
  return path
    .map((step, i) => (typeof step === 'number' ? `[${step}]` : i === 0 ? step : `.${step}`))
    .join('');
}

/** @throws InputError where the library runs out of stack. */
function notTooDeep<T>(name: string, parse: () => T): T {
  try {
    return parse();
  } catch (error) {
    if (error instanceof RangeError) throw new InputError({ file: name, ...TOO_DEEP }, { cause: error });
    throw error;
  }
}

function readText(path: string, name: string): string {
  try {
    const stat = statSync(path);
    if (!stat.isFile()) throw new InputError({ file: name, what: 'is not a file', mend: 'name a YAML file' });
    if (stat.size > LARGEST_BYTES) {
      throw new InputError({
        file: name,
        what: `has ${stat.size} bytes`,
        mend: 'a profile has less than 1 MB',
      });
    }
    return new TextDecoder('utf-8', { fatal: true }).decode(readFileSync(path));
  } catch (error) {
    if (error instanceof InputError) throw error;
    throw new InputError({ file: name, ...readFault(error) }, { cause: error });
  }
}

function syntaxFault(code: string, message: string): { what: string; mend?: string } {
  const bracket = /end with an? ([\]}])/.exec(message)?.[1];
  if (bracket)
    return { what: 'a bracket is opened before here and never closed', mend: `close it with ${bracket}` };
  if (/call stack/.test(message)) return TOO_DEEP;
  if (code === 'TAB_AS_INDENT') return { what: 'a tab indents the line', mend: 'indent with spaces' };
  if (code === 'BAD_INDENT') {
    return {
      what: 'the indentation does not fit the lines above',
      mend: 'indent every level by two more spaces',
    };
  }
  return {
    what: `not valid YAML (${message.split('\n')[0]})`,
    mend: 'write `key: value` with a blank after the colon, and put text with : or # in it in quotes',
  };
}
