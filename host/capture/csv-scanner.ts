// Reads records of a CSV text one after the other. RFC 4180: fields in double quotes may hold separators, line breaks
// and doubled quotes; lines end in CRLF, LF or CR. Works on UTF-8 bytes: none of those signs is part of a longer one.
// No text is built for a field until it is asked for. Rows of plain numbers by the million: csv-plain-rows.ts.

import { isUtf8 } from 'node:buffer';
import { byteAt, itemAt } from '../arrays/index.js';
import { InputError } from '../input/index.js';
import type { ByteWindow } from './byte-window.js';

const QUOTE = 34;
const CR = 13;
const LF = 10;
const TAB = 9;
const SPACE = 32;
/** A preamble of some hundred lines and the first rows behind it. */
const HEAD_BYTES = 1 << 16;

export class CsvScanner {
  /** Fields of the present record: [start, end) in the window, good until the next one is read. */
  readonly starts: number[] = [];
  readonly ends: number[] = [];
  readonly #quoted: boolean[] = [];
  /** Line of the text on which the present record starts, from 1. */
  line = 0;
  /** Fields of the present record. */
  count = 0;
  /** Where in the window the next record begins, and in which line of the text. */
  at = 0;
  nextLine = 1;
  /** A file that is not UTF-8 is read as Latin-1. */
  isLatin = false;
  #recordAt = 0;

  constructor(
    readonly window: ByteWindow,
    readonly fileName: string,
    public separator = ',',
  ) {
    const [first, second, third] = window.bytes;
    if (window.end >= 3 && first === 0xef && second === 0xbb && third === 0xbf) this.at = 3;
  }

  /**
   * The beginning of the text as far as one window of ample size holds it, without moving: nothing of it has been read
   * yet. Bytes that are no UTF-8 are read as Latin-1, whose one-byte micro and degree signs older instruments write.
   */
  head(): { text: string; isLatin: boolean; isWhole: boolean } {
    const { window } = this;
    while (!window.isLast && window.end < HEAD_BYTES) window.moveTo(0);
    const { bytes, end, isLast } = window;
    const part = bytes.subarray(this.at, end);
    // A sign may be cut in two where the window ends.
    let whole = part.length;
    while (!isLast && whole > 0 && (byteAt(part, whole - 1) & 0xc0) === 0x80) whole -= 1;
    if (!isLast && whole > 0 && byteAt(part, whole - 1) >= 0xc0) whole -= 1;
    const shown = part.subarray(0, whole);
    const isLatin = !isUtf8(shown);
    const text = Buffer.from(shown.buffer, shown.byteOffset, shown.length).toString(
      isLatin ? 'latin1' : 'utf8',
    );
    return { text, isLatin, isWhole: isLast };
  }

  /** Goes on from `bytes` behind where it stands, which is in `line` of the text. */
  skipTo(bytes: number, line: number): void {
    this.at += bytes;
    this.nextLine = line;
  }

  /** What stands before the first line break, without moving. */
  firstLine(): string {
    const { window } = this;
    for (;;) {
      const { bytes, end } = window;
      let at = this.at;
      while (at < end && bytes[at] !== LF && bytes[at] !== CR) at += 1;
      if (at < end || window.isLast) {
        const part = Buffer.from(bytes.subarray(this.at, at));
        return part.toString(isUtf8(part) ? 'utf8' : 'latin1');
      }
      window.moveTo(0);
    }
  }

  /** Moves to the next record that is not an empty line; false at the end. @throws InputError for a stray quote. */
  next(): boolean {
    const separator = this.separator.charCodeAt(0);
    const { window } = this;
    for (;;) {
      if (this.at >= window.end) {
        if (window.isLast) return false;
        this.#more();
        continue;
      }
      const startLine = this.nextLine;
      this.line = startLine;
      const after = this.#record(separator);
      if (after === undefined) {
        this.nextLine = startLine;
        this.#more();
        continue;
      }
      this.#recordAt = this.at;
      this.at = after;
      this.nextLine += 1;
      if (this.count > 1 || (this.count === 1 && (this.starts[0] !== this.ends[0] || this.#quoted[0])))
        return true;
    }
  }

  get isSpaced(): boolean {
    return this.separator === ' ';
  }

  /** The present record is the next one again. */
  back(): void {
    this.at = this.#recordAt;
    this.nextLine = this.line;
  }

  /** Text of field `index` of the present record, without its quotes. @throws InputError when it is not UTF-8. */
  field(index: number): string {
    const text = this.#text(itemAt(this.starts, index), itemAt(this.ends, index));
    return this.#quoted[index] ? text.replaceAll('""', '"') : text;
  }

  /** Drops what has been read and brings more into the window; the present record's fields are lost. */
  #more(): void {
    const { at } = this;
    this.at = 0;
    this.window.moveTo(at);
  }

  /** Takes the record at hand; where the next one begins, or undefined when the window ends within it. */
  #record(separator: number): number | undefined {
    const { bytes, end, isLast } = this.window;
    this.count = 0;
    let at = this.at;
    if (this.isSpaced) return this.#spacedRecord();
    for (;;) {
      let code = byteAt(bytes, at);
      if (code === QUOTE && at < end) {
        const close = this.#quotedField(at);
        if (close === undefined) return undefined;
        at = close;
        code = byteAt(bytes, at);
      } else {
        const start = at;
        while (code !== separator && code !== LF && code !== CR) {
          if (code === QUOTE)
            throw this.#fault(
              'a quote stands inside a field',
              'put the whole field in quotes and double the quote',
            );
          at += 1;
          code = byteAt(bytes, at);
        }
        this.#push(start, at, false);
      }
      if (code === separator && at < end) {
        at += 1;
        continue;
      }
      if (code === CR && bytes[at + 1] === LF) at += 1;
      // The line feed behind the window is none of the text's.
      if (at >= end && !isLast) return undefined;
      return at + 1;
    }
  }

  /** The same where any run of blanks separates. */
  #spacedRecord(): number | undefined {
    const { bytes, end, isLast } = this.window;
    let at = this.at;
    for (;;) {
      let code = byteAt(bytes, at);
      while (at < end && (code === SPACE || code === TAB)) code = byteAt(bytes, ++at);
      if (code === LF || code === CR || at >= end) {
        if (code === CR && bytes[at + 1] === LF) at += 1;
        return at >= end && !isLast ? undefined : at + 1;
      }
      const start = at;
      const close = code === QUOTE ? bytes.indexOf(QUOTE, at + 1) : -1;
      if (close > 0 && close < end && bytes.subarray(at, close).indexOf(LF) < 0) {
        this.#push(start + 1, close, true);
        at = close + 1;
        continue;
      }
      while (code !== SPACE && code !== TAB && code !== LF && code !== CR) code = byteAt(bytes, ++at);
      this.#push(start, at, false);
    }
  }

  /** Takes the field whose opening quote is at `open`; where what follows it stands, or undefined without its end. */
  #quotedField(open: number): number | undefined {
    const { bytes, end, isLast } = this.window;
    let at = open + 1;
    for (;;) {
      const close = bytes.indexOf(QUOTE, at);
      if (close === -1 || close >= end) {
        if (!isLast) return undefined;
        throw this.#fault('a quote is never closed', 'close it, or double a quote that belongs to the text');
      }
      if (close + 1 >= end && !isLast) return undefined;
      const after = close + 1 < end ? bytes[close + 1] : LF;
      if (after === QUOTE) {
        at = close + 2;
        continue;
      }
      this.#push(open + 1, close, true);
      this.#countLines(open + 1, close);
      if (after !== this.separator.charCodeAt(0) && after !== LF && after !== CR)
        throw this.#fault('text follows a closing quote', 'put the whole field in quotes');
      return close + 1;
    }
  }

  #push(start: number, end: number, quoted: boolean): void {
    this.starts[this.count] = start;
    this.ends[this.count] = end;
    this.#quoted[this.count] = quoted;
    this.count += 1;
  }

  #countLines(from: number, to: number): void {
    const { bytes } = this.window;
    for (let at = from; at < to; at++) {
      const code = bytes[at];
      if (code === LF || (code === CR && bytes[at + 1] !== LF)) this.nextLine += 1;
    }
  }

  #text(start: number, end: number): string {
    const part = this.window.bytes.subarray(start, end);
    if (this.isLatin) return Buffer.from(part.buffer, part.byteOffset, part.length).toString('latin1');
    if (!isUtf8(part))
      throw new InputError({
        file: this.fileName,
        what: 'is not UTF-8 text',
        mend: 'save it as CSV in UTF-8',
      });
    return Buffer.from(part.buffer, part.byteOffset, part.length).toString('utf8');
  }

  #fault(what: string, mend: string): InputError {
    return new InputError({ file: this.fileName, line: this.line, what, mend });
  }
}
