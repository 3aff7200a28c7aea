// A small table that a spreadsheet exported: RFC 4180, with comma, semicolon or tab between cells.

import { InputError } from './input-error.js';

export interface CsvRow {
  /** Of its first line in the file, from 1. */
  line: number;
  cells: string[];
}

/** The line that a spreadsheet program reads its separator from, and writes for others of its kind. */
const SEPARATOR_LINE = /^sep=([,;\t])\r?(?:\n|$)/i;

/**
 * Rows with something in them, cells without blanks around them.
 * @param file as the user names it
 * @throws InputError for a quote that nothing closes, or text behind a closed one
 */
export function csvRows(text: string, file: string): CsvRow[] {
  const marked = text.replace(/^\ufeff/, '');
  const [stated = '', named] = SEPARATOR_LINE.exec(marked) ?? [];
  const plain = marked.slice(stated.length);
  const separator = named ?? separatorOf(plain);
  const rows: CsvRow[] = [];
  let cells: string[] = [];
  let line = stated === '' ? 1 : 2;
  let startedAt = line;
  let at = 0;
  const close = (): void => {
    if (cells.some((cell) => cell !== '')) rows.push({ line: startedAt, cells });
    cells = [];
    startedAt = line;
  };
  while (at < plain.length) {
    if (plain[at] === '"') {
      const end = quoteEnd(plain, at);
      if (end === undefined)
        throw new InputError({
          file,
          line,
          what: 'a quotation mark is opened and never closed',
          mend: 'close it',
        });
      const inner = plain.slice(at + 1, end);
      cells.push(inner.replaceAll('""', '"').trim());
      line += inner.split('\n').length - 1;
      at = end + 1;
      if (at < plain.length && ![separator, '\r', '\n'].includes(plain[at] ?? ''))
        throw new InputError({
          file,
          line,
          what: 'text stands behind a closing quotation mark',
          mend: 'take it out, or double the mark',
        });
    } else {
      const end = nextOf(plain, at, separator);
      cells.push(plain.slice(at, end).trim());
      at = end;
    }
    if (plain[at] === separator) {
      at += 1;
      // A separator at the very end has an empty cell behind it.
      if (at === plain.length || plain[at] === '\r' || plain[at] === '\n') cells.push('');
      else continue;
    }
    if (plain.startsWith('\r\n', at)) at += 1;
    at += 1;
    line += 1;
    close();
  }
  close();
  return rows;
}

/** What stands most often in the first line outside of quotes. */
function separatorOf(text: string): string {
  const first = (/^[^\r\n]*/.exec(text)?.[0] ?? '').replace(/"[^"]*"/g, '');
  const counts = [',', ';', '\t'].map((separator) => [separator, first.split(separator).length] as const);
  return counts.reduce((most, one) => (one[1] > most[1] ? one : most))[0];
}

function quoteEnd(text: string, at: number): number | undefined {
  for (let end = text.indexOf('"', at + 1); end >= 0; end = text.indexOf('"', end + 2))
    if (text[end + 1] !== '"') return end;
  return undefined;
}

function nextOf(text: string, at: number, separator: string): number {
  let end = at;
  while (end < text.length && text[end] !== separator && text[end] !== '\n' && text[end] !== '\r') end += 1;
  return end;
}
