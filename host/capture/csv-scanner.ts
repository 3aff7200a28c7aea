// Reads records of a CSV text one after the other, fast enough for millions of rows. RFC 4180: fields in double
// quotes may hold separators, line breaks and doubled quotes; lines end in CRLF, LF or CR. No text is built for a
// field until it is asked for.

import { InputError } from '../profile/index.js';
import { POSITIONS } from './capture.js';
import { POWERS_OF_TEN } from './decimal.js';

const QUOTE = 34;
const CR = 13;
const LF = 10;
const SPACE = 32;

/** What `plainRecord` is to expect of a field. */
export const NUMBER_FIELD = 0;
export const POSITION_FIELD = 1;
export const TEXT_FIELD = 2;

export class CsvScanner {
  /** Fields of the present record: [start, end) in the text, and whether quotes were taken off. */
  readonly starts: number[] = [];
  readonly ends: number[] = [];
  readonly #quoted: boolean[] = [];
  /** Line of the text on which the present record starts, from 1. */
  line = 0;
  count = 0;
  #at: number;
  #nextLine: number;
  #text: string | undefined;
  #codes: Uint8Array | Uint16Array | undefined;

  /** @param source the whole text, or its bytes where every one is ASCII. @param from where to begin, and in which line that is. */
  constructor(
    source: string | Uint8Array,
    readonly separator: string,
    readonly fileName: string,
    from = { at: 0, line: 1 },
  ) {
    if (typeof source === 'string') this.#text = source;
    else this.#codes = source;
    this.#at = from.at;
    this.#nextLine = from.line;
    this.line = from.line - 1;
  }

  /** The whole text; made of the bytes when first asked for. */
  get text(): string {
    this.#text ??= asciiText(this.#codes as Uint8Array);
    return this.#text;
  }

  get length(): number {
    return this.#text?.length ?? this.#codes!.length;
  }

  /** Where the next record begins, for another scanner of the same file. */
  get place(): { at: number; line: number } {
    return { at: this.#at, line: this.#nextLine };
  }

  /** Moves to the next record that is not an empty line; false at the end. @throws InputError for a stray quote. */
  next(): boolean {
    // Asked first, so that the text of millions of plain records is never made.
    if (this.#at >= this.length) return false;
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

  /**
   * The next record in one pass, if it is a plain one: as many fields as `kinds`, numbers of up to 15 digits without
   * exponent or quotes. Numbers go to `out` (NaN for an empty cell), a position as its index in POSITIONS, texts to
   * `starts` and `ends`. False, with nothing read, for any other record and at the end: `next` tells what it is.
   */
  plainRecord(kinds: Uint8Array, point: number, out: Float64Array): boolean {
    const { starts, ends } = this;
    this.#codes ??= codesOf(this.#text!);
    const codes = this.#codes;
    const separator = this.separator.charCodeAt(0);
    const last = kinds.length - 1;
    const length = codes.length;
    let at = this.#at;
    for (let field = 0; field <= last; field++) {
      const kind = kinds[field]!;
      let code = codes[at]!;
      if (kind === NUMBER_FIELD) {
        while (code === SPACE) code = codes[++at]!;
        const isNegative = code === 45;
        if (isNegative || code === 43) code = codes[++at]!;
        let mantissa = 0;
        let digits = 0;
        let figures = 0;
        let decimals = 0;
        while (code >= 48 && code <= 57) {
          mantissa = mantissa * 10 + (code - 48);
          if (mantissa > 0) digits++;
          figures++;
          code = codes[++at]!;
        }
        if (code === point) {
          code = codes[++at]!;
          while (code >= 48 && code <= 57) {
            mantissa = mantissa * 10 + (code - 48);
            if (mantissa > 0) digits++;
            decimals++;
            code = codes[++at]!;
          }
          if (decimals === 0) return false;
        }
        while (code === SPACE) code = codes[++at]!;
        if (figures + decimals === 0) {
          if (isNegative || codes[at - 1]! === 43) return false;
          out[field] = Number.NaN;
        } else {
          // Exact by the same rule as readDecimal.
          if (digits > 15 || decimals > 22) return false;
          const value = decimals > 0 ? mantissa / POWERS_OF_TEN[decimals]! : mantissa;
          out[field] = isNegative ? -value : value;
        }
      } else if (kind === POSITION_FIELD) {
        const word = code === 114 ? (codes[at + 2]! === 115 ? 0 : 2) : code === 102 ? 1 : -1;
        const name: string | undefined = POSITIONS[word as 0 | 1 | 2];
        if (name === undefined) return false;
        for (let k = 0; k < name.length; k++) if (codes[at + k] !== name.charCodeAt(k)) return false;
        out[field] = word;
        at += name.length;
        code = codes[at]!;
      } else {
        starts[field] = at;
        while (code !== separator && code !== LF && code !== CR && at < length) {
          if (code === QUOTE) return false;
          code = codes[++at]!;
        }
        ends[field] = at;
        this.#quoted[field] = false;
      }
      if (field < last ? code !== separator : !(code === LF || code === CR || at >= length)) return false;
      if (field < last) at += 1;
      else if (code === CR && codes[at + 1]! === LF) at += 1;
    }
    // One empty field is an empty line.
    if (this.#at >= length || (last === 0 && Number.isNaN(out[0]!))) return false;
    this.#at = at + 1;
    this.line = this.#nextLine;
    this.#nextLine += 1;
    this.count = kinds.length;
    return true;
  }

  /** Text of field `index` of the present record, without its quotes. */
  field(index: number): string {
    const [start, end] = [this.starts[index]!, this.ends[index]!];
    const text =
      this.#text === undefined
        ? asciiText((this.#codes as Uint8Array).subarray(start, end))
        : this.#text.slice(start, end);
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

const asciiText = (bytes: Uint8Array): string =>
  Buffer.from(bytes.buffer, bytes.byteOffset, bytes.length).toString('latin1');

/** Reading an array of codes is several times as quick as asking a string for each. */
function codesOf(text: string): Uint8Array | Uint16Array {
  const isWide = /[^\0-\xff]/.test(text);
  if (!isWide) return Buffer.from(text, 'latin1');
  return Uint16Array.from({ length: text.length }, (_, i) => text.charCodeAt(i));
}
