// Many files through one verb: a row or a JSON line each, in the order in which they were named. A bad one has its own
// line and does not stop the others.

import { InputError } from '../input/index.js';
import { EXIT } from './command.js';
import { tableLines } from './table.js';

type Done<T> = { file: string; value: T } | { file: string; error: string };

export class FileTable<T> {
  readonly #done: Done<T>[];

  constructor(files: readonly string[], work: (file: string) => T) {
    this.#done = files.map((file) => {
      try {
        return { file, value: work(file) };
      } catch (error) {
        if (!(error instanceof InputError)) throw error;
        return { file, error: error.message };
      }
    });
  }

  /** One object a line: `file`, and what `of` gives, or `error`. */
  jsonLines(of: (value: T) => object): string {
    return this.#done
      .map((done) => ('value' in done ? { file: done.file, ...of(done.value) } : done))
      .map((line) => `${JSON.stringify(line)}\n`)
      .join('');
  }

  /** A table with a line for each file that could be read; what is wrong with the others stands below it. */
  lines(head: readonly string[], of: (value: T) => string[]): string {
    const rows = this.#done.flatMap((done) => ('value' in done ? [[done.file, ...of(done.value)]] : []));
    const bad = this.#done.flatMap((done) => ('error' in done ? [`not read: ${done.error}`] : []));
    const table = rows.length === 0 ? [] : tableLines([[...head], ...rows]);
    return `${[...table, ...(table.length > 0 && bad.length > 0 ? [''] : []), ...bad].join('\n')}\n`;
  }

  /** The gravest of all: bad input, then fail, then cannot tell. */
  exitOf(of: (value: T) => number): number {
    const codes = this.#done.map((done) => ('value' in done ? of(done.value) : EXIT.usage));
    return [EXIT.usage, EXIT.fail, EXIT.cannotTell].find((code) => codes.includes(code)) ?? EXIT.pass;
  }
}
