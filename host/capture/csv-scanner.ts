// Reads records of a CSV text one after the other, fast enough for millions of rows. RFC 4180: fields in double
// quotes may hold separators, line breaks and doubled quotes; lines end in CRLF, LF or CR. No text is built for a
// field until it is asked for.

import { InputError } from '../profile/index.js';

const QUOTE = 34;
const CR = 13;
const LF = 10;

export class CsvScanner {
  /** Fields of the present record: [start, end) in the text, and whether quotes were taken off. */
  readonly starts: number[] = [];
  readonly ends: number[] = [];
  readonly #quoted: boolean[] = [];
  /** Line of the text on which the present record starts, from 1. */
  line = 0;
  count = 0;
  #at = 0;
  #nextLine = 1;

  constructor(
    readonly text: string,
    readonly separator: string,
    readonly fileName: string,
  ) {}

  /** Moves to the next record that is not an empty line; false at the end. @throws InputError for a stray quote. */
  next(): boolean {
    const { text } = this;
    const separator = this.separator.charCodeAt(0);
    for (;;) {
      if (this.#at >= text.length) return false;
      this.line = this.#nextLine;
      this.count = 0;
      let at = this.#at;
      for (;;) {
        let code = text.charCodeAt(at);
        if (code === QUOTE) {
          at = this.#quotedField(at);
          code = text.charCodeAt(at);
        } else {
          const start = at;
          while (code !== separator && code !== LF && code !== CR && at < text.length) {
            if (code === QUOTE)
              throw this.#fault(
                'a quote stands inside a field',
                'put the whole field in quotes and double the quote',
              );
            at += 1;
            code = text.charCodeAt(at);
          }
          this.#push(start, at, false);
        }
        if (code === separator) {
          at += 1;
          continue;
        }
        if (code === CR && text.charCodeAt(at + 1) === LF) at += 1;
        this.#at = at + 1;
        this.#nextLine += 1;
        break;
      }
      if (!(this.count === 1 && this.starts[0] === this.ends[0] && !this.#quoted[0])) return true;
    }
  }

  /** Text of field `index` of the present record, without its quotes. */
  field(index: number): string {
    const text = this.text.slice(this.starts[index], this.ends[index]);
    return this.#quoted[index] ? text.replaceAll('""', '"') : text;
  }

  isQuoted(index: number): boolean {
    return this.#quoted[index] === true;
  }

  #push(start: number, end: number, quoted: boolean): void {
    this.starts[this.count] = start;
    this.ends[this.count] = end;
    this.#quoted[this.count] = quoted;
    this.count += 1;
  }

  /** Takes the field whose opening quote is at `open`; returns where the separator or line end after it stands. */
  #quotedField(open: number): number {
    const { text } = this;
    let at = open + 1;
    for (;;) {
      const close = text.indexOf('"', at);
      if (close === -1)
        throw this.#fault('a quote is never closed', 'close it, or double a quote that belongs to the text');
      if (text.charCodeAt(close + 1) === QUOTE) {
        at = close + 2;
        continue;
      }
      this.#push(open + 1, close, true);
      this.#countLines(open + 1, close);
      const after = text.charCodeAt(close + 1);
      if (close + 1 < text.length && after !== this.separator.charCodeAt(0) && after !== LF && after !== CR) {
        throw this.#fault('text follows a closing quote', 'put the whole field in quotes');
      }
      return close + 1;
    }
  }

  #countLines(from: number, to: number): void {
    for (let at = from; at < to; at++) {
      const code = this.text.charCodeAt(at);
      if (code === LF || (code === CR && this.text.charCodeAt(at + 1) !== LF)) this.#nextLine += 1;
    }
  }

  #fault(what: string, mend: string): InputError {
    return new InputError({ file: this.fileName, line: this.line, what, mend });
  }
}
